using System.Reflection;
using VibeCheck.Core.Comparisons;
using VibeCheck.Core.Orders;
using VibeCheck.Core.Statistics;
using VibeCheck.Reports.Text;

namespace VibeCheck.Reports.Tests.Text;

public sealed class ReasonTextTests
{
    public static TheoryData<string> Causes =>
        [.. typeof(Reason).Assembly.GetTypes().Where(t => t.IsSubclassOf(typeof(Reason)) && !t.IsAbstract).Select(t => t.FullName!)];

    // A cause without words would stop the program where it is shown.
    [Theory]
    [MemberData(nameof(Causes))]
    public void Every_cause_of_Core_has_words(string type)
    {
        ConstructorInfo made = typeof(Reason).Assembly.GetType(type)!.GetConstructors().MaxBy(c => c.GetParameters().Length)!;
        var cause = (Reason)made.Invoke([.. made.GetParameters().Select(p => Some(p.ParameterType))]);
        Assert.False(string.IsNullOrWhiteSpace(ReasonText.Of(cause)));
        Assert.DoesNotContain("{", ReasonText.Of(cause), StringComparison.Ordinal);
    }

    private static object? Some(Type type) =>
        type == typeof(string) ? "M1"
        : type == typeof(Reason) ? new MotorStoodStill()
        : type.IsAssignableFrom(typeof(string[])) ? new[] { "M1" }
        : type == typeof(Estimate) ? Estimate.Around(1, 0.5)
        : type.IsAssignableFrom(typeof(MotorShare[])) ? new[] { new MotorShare("M1", 1, 1.2) }
        : type.IsAssignableFrom(typeof(double[])) ? new[] { 1.5 }
        : type.IsValueType ? Activator.CreateInstance(Nullable.GetUnderlyingType(type) ?? type)
        : throw new NotSupportedException($"say what stands for a {type.Name}");
}
