using System.Reflection;
using VibeCheck.Core.Comparisons;
using VibeCheck.Core.Orders;
using VibeCheck.Core.Statistics;

namespace VibeCheck.Reports.Tests.Text;

/// <summary>Every cause of Core, with placeholder values.</summary>
internal static class MadeCauses
{
    internal static IEnumerable<Type> Types => TypesOf<Reason>();

    /// <summary>Every kind of value of a condition.</summary>
    internal static IEnumerable<Type> ConditionTypes => TypesOf<ConditionValue>();

    internal static Reason Of(Type type, StandIn? values = null) => (Reason)Made(type, values ?? new StandIn());

    internal static ConditionValue ConditionOf(Type type, StandIn values) => (ConditionValue)Made(type, values);

    private static IEnumerable<Type> TypesOf<T>() =>
        typeof(T)
            .Assembly.GetTypes()
            .Where(t => t.IsSubclassOf(typeof(T)) && !t.IsAbstract)
            .OrderBy(t => t.FullName, StringComparer.Ordinal);

    // Makes the value of a parameter: a placeholder, a record, or a list of them.
    private static object? Some(Type type, string? name, StandIn v) =>
        type == typeof(string) ? Text(name, v)
        : type == typeof(Reason) ? new MotorStoodStill()
        : type == typeof(Estimate) ? Estimate.Around(1, 0.5)
        : type == typeof(double) ? v.Number
        : type == typeof(int) ? v.Count
        : type == typeof(bool) ? v.Flag
        : type.IsEnum ? Enum.GetValues(type).GetValue(v.Choice % Enum.GetValues(type).Length)
        : Nullable.GetUnderlyingType(type) is { } inner ? (v.HasOptional ? Some(inner, name, v) : null)
        : type.IsValueType ? Activator.CreateInstance(type)
        : type.IsGenericType && type.GetGenericTypeDefinition() == typeof(IReadOnlyList<>) ? List(type.GenericTypeArguments[0], v)
        : Made(type, v);

    // These parameters hold the names of several motors or columns in one text.
    private static string Text(string? name, StandIn v) =>
        name is "Motors" or "Columns" ? string.Join(", ", Enumerable.Range(1, v.Items).Select(i => $"M{i}")) : "M1";

    private static object Made(Type type, StandIn v)
    {
        ConstructorInfo made = type.GetConstructors().MaxBy(c => c.GetParameters().Length)!;
        return made.Invoke([.. made.GetParameters().Select(p => Some(p.ParameterType, p.Name, v))]);
    }

    private static Array List(Type of, StandIn v)
    {
        var list = Array.CreateInstance(of, v.Items);
        for (int i = 0; i < v.Items; i++)
        {
            list.SetValue(of == typeof(string) ? $"M{i + 1}" : Some(of, null, v), i);
        }

        return list;
    }
}

/// <summary>Placeholder values of a cause.</summary>
/// <param name="Count">Value of every integer.</param>
/// <param name="Number">Value of every other number.</param>
/// <param name="Items">Number of entries of every list, and of names in every text that holds several.</param>
/// <param name="Flag">Value of every bool.</param>
/// <param name="Choice">Index of the value of every enum.</param>
/// <param name="HasOptional">Whether optional numbers are present.</param>
internal sealed record StandIn(
    int Count = 2,
    double Number = 1.5,
    int Items = 1,
    bool Flag = false,
    int Choice = 0,
    bool HasOptional = true
);
