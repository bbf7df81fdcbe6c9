using VibeCheck.Reports.Html;

namespace VibeCheck.Reports.Drawings;

/// <summary>Figures as elements of a page.</summary>
internal static class Figure
{
    /// <summary>The mark of before, for captions.</summary>
    internal static Markup BeforeKey { get; } =
        Markup.Of(
            $"""<svg class="key" viewBox="0 0 34 12" aria-hidden="true"><path d="M0 6H34" stroke="{Palette.Data}" """
                + $"""stroke-width="1.3"/><circle cx="17" cy="6" r="4.5" fill="#fff" stroke="{Palette.Data}" stroke-width="1.5"/></svg>"""
        );

    /// <summary>The mark of after, for captions.</summary>
    internal static Markup AfterKey { get; } =
        Markup.Of(
            $"""<svg class="key" viewBox="0 0 34 12" aria-hidden="true"><path d="M0 6H34" stroke="{Palette.Data}" """
                + $"""stroke-width="3"/><circle cx="17" cy="6" r="5" fill="{Palette.Data}"/></svg>"""
        );

    internal static Markup BeforeAfter { get; } = Markup.Of($"{BeforeKey} before, {AfterKey} after.");

    /// <summary>A figure of one drawing that is readable at every width.</summary>
    internal static Markup Of(Markup drawing, Markup caption) =>
        Markup.Of($"<figure>{drawing}<figcaption>{caption}</figcaption></figure>\n");

    /// <summary>A figure of one chart drawn twice: for a screen or paper, and for a phone.</summary>
    internal static Markup Of(Markup wide, Markup narrow, Markup caption) =>
        Markup.Of(
            $"""
            <figure><div class="wide">{wide}</div><div class="narrow">{narrow}</div><figcaption>{caption}</figcaption></figure>

            """
        );
}
