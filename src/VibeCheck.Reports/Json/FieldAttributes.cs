namespace VibeCheck.Reports.Json;

/// <summary>Name of the field that takes the 95 % interval of an estimate; <c>ci95</c> without it.</summary>
[AttributeUsage(AttributeTargets.Property)]
internal sealed class Ci95Attribute(string name) : Attribute
{
    internal string Name { get; } = name;
}

/// <summary>The field is left out where it is null. All other fields are always there.</summary>
[AttributeUsage(AttributeTargets.Property)]
internal sealed class MayBeMissingAttribute : Attribute;

/// <summary>A text that is always one of these, as the schema says.</summary>
[AttributeUsage(AttributeTargets.Property)]
internal sealed class OneOfAttribute(params string[] words) : Attribute
{
    internal IReadOnlyList<string> Words { get; } = words;
}
