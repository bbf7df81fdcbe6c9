using System.Reflection;
using VibeCheck.Core.Orders;
using VibeCheck.Core.Statistics;

namespace VibeCheck.Reports.Tests.Text;

/// <summary>Every cause of Core, with stand-in values.</summary>
internal static class MadeCauses
{
    internal static IEnumerable<Type> Types =>
        typeof(Reason)
            .Assembly.GetTypes()
            .Where(t => t.IsSubclassOf(typeof(Reason)) && !t.IsAbstract)
            .OrderBy(t => t.FullName, StringComparer.Ordinal);

    internal static Reason Of(Type type) => (Reason)Made(type);

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
