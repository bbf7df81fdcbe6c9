using System.Reflection;
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
        var cause = (Reason)Made(typeof(Reason).Assembly.GetType(type)!);
        Assert.False(string.IsNullOrWhiteSpace(ReasonText.Of(cause)));
        Assert.DoesNotContain("{", ReasonText.Of(cause), StringComparison.Ordinal);
    }

    // Scripts tell causes apart by their codes.
    [Fact]
    public void No_two_causes_share_a_code()
    {
        IEnumerable<string> names = typeof(Reason)
            .Assembly.GetTypes()
            .Where(t => t.IsSubclassOf(typeof(Reason)) && !t.IsAbstract)
            .Select(t => t.Name);
        Assert.Empty(names.GroupBy(n => n).Where(g => g.Count() > 1).Select(g => g.Key));
    }

    // A record, or a list of one, stands in for whatever a cause holds.
    private static object? Some(Type type) =>
        type == typeof(string) ? "M1"
        : type == typeof(Reason) ? new MotorStoodStill()
        : type == typeof(Estimate) ? Estimate.Around(1, 0.5)
        : type == typeof(double) ? 1.5
        : type == typeof(int) ? 2
        : Nullable.GetUnderlyingType(type) is { } inner ? Some(inner)
        : type.IsValueType ? Activator.CreateInstance(type)
        : type.IsGenericType && type.GetGenericTypeDefinition() == typeof(IReadOnlyList<>) ? List(type.GenericTypeArguments[0])
        : Made(type);

    private static object Made(Type type)
    {
        ConstructorInfo made = type.GetConstructors().MaxBy(c => c.GetParameters().Length)!;
        return made.Invoke([.. made.GetParameters().Select(p => Some(p.ParameterType))]);
    }

    private static Array List(Type of)
    {
        var list = Array.CreateInstance(of, 1);
        list.SetValue(Some(of), 0);
        return list;
    }
}
