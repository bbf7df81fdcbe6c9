using VibeCheck.Reports.Html;

namespace VibeCheck.Reports.Drawings;

/// <summary>The pattern for unknown values, which are never shown by a colour.</summary>
internal static class Hatch
{
    internal const string Fill = "url(#unknown)";

    /// <summary>The definition for a drawing that is a file of its own.</summary>
    internal static Markup Pattern { get; } =
        Markup.Of(
            $"""
            <defs>
            <pattern id="unknown" width="6" height="6" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">
            <rect width="6" height="6" fill="#fff"/><path d="M0 0V6" stroke="#8a919c" stroke-width="2"/></pattern>
            </defs>
            """
        );

    /// <summary>Written once on a page; every drawing of the page may use it.</summary>
    internal static Markup Definition { get; } =
        Markup.Of(
            $"""
            <svg class="patterns" width="0" height="0" aria-hidden="true">{Pattern}</svg>

            """
        );
}
