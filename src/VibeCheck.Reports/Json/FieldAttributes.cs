namespace VibeCheck.Reports.Json;

/// <summary>Names the field that takes the 95 % interval of an estimate; without the attribute it is <c>ci95</c>.</summary>
[AttributeUsage(AttributeTargets.Property)]
internal sealed class Ci95Attribute(string name) : Attribute
{
    internal string Name { get; } = name;
}

/// <summary>The field is left out where it is null. Fields without the attribute are always written.</summary>
[AttributeUsage(AttributeTargets.Property)]
internal sealed class MayBeMissingAttribute : Attribute;

/// <summary>A text that is always one of these words; the schema lists them.</summary>
[AttributeUsage(AttributeTargets.Property)]
internal sealed class OneOfAttribute(params string[] words) : Attribute
{
    internal IReadOnlyList<string> Words { get; } = words;
}
