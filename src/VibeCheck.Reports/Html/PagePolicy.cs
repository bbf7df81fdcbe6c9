namespace VibeCheck.Reports.Html;

/// <summary>What a page may do in a browser: show itself. It runs no script and fetches nothing,
/// even if text out of a log became an element.</summary>
internal static class PagePolicy
{
    internal static Markup Meta { get; } =
        Markup.Of(
            $"""<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'; font-src data:; """
                + $"""img-src data:">"""
        );
}
