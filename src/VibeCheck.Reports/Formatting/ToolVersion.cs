using System.Reflection;

namespace VibeCheck.Reports.Formatting;

/// <summary>The version shown in results and on pages.</summary>
internal static class ToolVersion
{
    /// <summary>Such as 0.1.0. What the build adds after a plus sign is left out, so that results do not change with the build.</summary>
    internal static string Text { get; } =
        typeof(ToolVersion).Assembly.GetCustomAttribute<AssemblyInformationalVersionAttribute>()?.InformationalVersion.Split('+')[0] ?? "0";
}
