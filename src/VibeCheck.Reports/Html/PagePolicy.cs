namespace VibeCheck.Reports.Html;

/// <summary>Content security policy of a page: it runs no script and fetches nothing,
/// even if text from a log became an element.</summary>
internal static class PagePolicy
{
    internal static Markup Meta { get; } =
        Markup.Of(
            $"""<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'; font-src data:; """
                + $"""img-src data:">"""
        );
}
