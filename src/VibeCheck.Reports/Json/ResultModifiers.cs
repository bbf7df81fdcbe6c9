using System.Text.Json.Serialization.Metadata;
using VibeCheck.Core.Statistics;

namespace VibeCheck.Reports.Json;

/// <summary>Adjusts the generated code for results: an estimate becomes two fields, its value and its interval, and some fields
/// may be missing.</summary>
internal static class ResultModifiers
{
    internal static void Apply(JsonTypeInfo type)
    {
        if (type.Kind != JsonTypeInfoKind.Object || type.Type.Namespace != typeof(ResultModifiers).Namespace)
        {
            return;
        }

        for (int i = 0; i < type.Properties.Count; i++)
        {
            JsonPropertyInfo field = type.Properties[i];
            if (field.PropertyType == typeof(Estimate))
            {
                (type.Properties[i], JsonPropertyInfo interval) = ValueAndInterval(type, field);
                type.Properties.Insert(++i, interval);
                continue;
            }

            // Results are only written, so a field may be null only where its getter may return null. These fields have no setter; without
            // this line the schema would allow null for all of them.
            field.IsSetNullable = field.IsGetNullable;
            if (Attribute<MayBeMissingAttribute>(field) is not null)
            {
                field.ShouldSerialize = (_, value) => value is not null;
            }
        }
    }

    /// <summary>The attribute of the property behind a field; null for none.</summary>
    internal static T? Attribute<T>(JsonPropertyInfo field)
        where T : Attribute => field.AttributeProvider?.GetCustomAttributes(typeof(T), inherit: false) is [T found, ..] ? found : null;

    private static (JsonPropertyInfo Value, JsonPropertyInfo Interval) ValueAndInterval(JsonTypeInfo type, JsonPropertyInfo field)
    {
        Func<object, object?> estimate = field.Get!;
        JsonPropertyInfo value = type.CreateJsonPropertyInfo(typeof(double?), field.Name);
        value.Get = owner => ((Estimate?)estimate(owner))?.Value;
        JsonPropertyInfo interval = type.CreateJsonPropertyInfo(typeof(Interval?), Attribute<Ci95Attribute>(field)?.Name ?? "ci95");
        interval.Get = owner => ((Estimate?)estimate(owner))?.Ci95;
        if (Attribute<MayBeMissingAttribute>(field) is not null)
        {
            value.ShouldSerialize = interval.ShouldSerialize = (owner, _) => estimate(owner) is not null;
        }

        return (value, interval);
    }
}
