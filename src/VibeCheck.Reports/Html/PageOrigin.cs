using System.Text;

namespace VibeCheck.Reports.Html;

/// <summary>Marks the pages that the tool wrote, so that it overwrites its own pages and no other file.</summary>
public static class PageOrigin
{
    // HTML standard, "Standard metadata names": "generator" names the software that made a page.
    private const string Tag = "<meta name=\"generator\" content=\"VibeCheck\">";

    /// <summary>The mark, for the head of a page.</summary>
    internal static Markup Mark => Markup.Trusted(Tag);

    /// <summary>Whether the mark is in the first 4096 bytes of a file.</summary>
    /// <exception cref="IOException">The file cannot be read.</exception>
    /// <exception cref="UnauthorizedAccessException">The file may not be read.</exception>
    public static bool IsMarked(string path)
    {
        byte[] head = new byte[4096];
        using FileStream file = File.OpenRead(path);
        int count = file.ReadAtLeast(head, head.Length, throwOnEndOfStream: false);
        return head.AsSpan(0, count).IndexOf(Encoding.ASCII.GetBytes(Tag)) >= 0;
    }
}
