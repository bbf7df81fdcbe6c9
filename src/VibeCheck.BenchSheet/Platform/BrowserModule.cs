using System.Runtime.InteropServices.JavaScript;
using System.Runtime.Versioning;

namespace VibeCheck.BenchSheet.Platform;

/// <summary>The functions of sheet.js.</summary>
[SupportedOSPlatform("browser")]
internal static partial class BrowserModule
{
    private const string Name = "sheet";

    /// <summary>Loads the module; once, before anything else of it is used.</summary>
    internal static Task Load() => JSHost.ImportAsync(Name, "../sheet.js");

    [JSImport("keys", Name)]
    internal static partial string[] Keys(string prefix);

    [JSImport("read", Name)]
    internal static partial string? Read(string key);

    [JSImport("write", Name)]
    internal static partial bool Write(string key, string text);

    /// <summary>Status and text, parted by a line end.</summary>
    [JSImport("get", Name)]
    internal static partial Task<string> Get(string url);

    /// <summary>Status and text, parted by a line end.</summary>
    [JSImport("post", Name)]
    internal static partial Task<string> Post(string url, string json, string token);

    /// <summary>Offers a text to be saved as a file.</summary>
    [JSImport("save", Name)]
    internal static partial void Save(string name, string text);

    /// <summary>Text of the file chosen in an input; null where none is chosen.</summary>
    [JSImport("chosenText", Name)]
    internal static partial Task<string?> ChosenText(string id);

    /// <summary>Tells when the page wakes, is online again, or another page stored something; and which keys are pressed.</summary>
    [JSImport("listen", Name)]
    internal static partial void Listen(
        [JSMarshalAs<JSType.Function>] Action onWake,
        [JSMarshalAs<JSType.Function<JSType.String>>] Action<string> onKey
    );

    /// <summary>Ends once what was drawn last is on the screen, or after a fifth of a second where the page is hidden.</summary>
    [JSImport("painted", Name)]
    internal static partial Task Painted();

    /// <summary>Shows the top of the page, after another screen was chosen.</summary>
    [JSImport("scrollToTop", Name)]
    internal static partial void ScrollToTop();

    /// <summary>Tells the page that the sheet is drawn and takes taps.</summary>
    [JSImport("ready", Name)]
    internal static partial void Ready();

    /// <summary>Taps a key of the hidden rehearsal, so that the way of a tap through the page has been gone once.</summary>
    [JSImport("tapRehearsal", Name)]
    internal static partial void TapRehearsal();

    /// <summary>Tells the page that no tap is a first one any more.</summary>
    [JSImport("rehearsed", Name)]
    internal static partial void Rehearsed();
}
