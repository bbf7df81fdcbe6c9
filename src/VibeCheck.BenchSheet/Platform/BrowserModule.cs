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

    /// <summary>Status and text, separated by a line end.</summary>
    [JSImport("get", Name)]
    internal static partial Task<string> Get(string url);

    /// <summary>Status and text, separated by a line end.</summary>
    [JSImport("post", Name)]
    internal static partial Task<string> Post(string url, string json, string token);

    /// <summary>Offers a text to be saved as a file.</summary>
    [JSImport("save", Name)]
    internal static partial void Save(string name, string text);

    /// <summary>Text of the file selected in an input; null where none is selected.</summary>
    [JSImport("chosenText", Name)]
    internal static partial Task<string?> ChosenText(string id);

    /// <summary>Reports when the page becomes active, is online again, or another page stored something; and which keys are
    /// pressed.</summary>
    [JSImport("listen", Name)]
    internal static partial void Listen(
        [JSMarshalAs<JSType.Function>] Action onWake,
        [JSMarshalAs<JSType.Function<JSType.String>>] Action<string> onKey
    );

    /// <summary>Completes when the last drawing is on the screen, or after 0.2 s where the page is hidden.</summary>
    [JSImport("painted", Name)]
    internal static partial Task Painted();

    /// <summary>Shows the top of the page, after another screen was chosen.</summary>
    [JSImport("scrollToTop", Name)]
    internal static partial void ScrollToTop();

    /// <summary>Tells the page that the sheet is drawn and takes taps.</summary>
    [JSImport("ready", Name)]
    internal static partial void Ready();

    /// <summary>Taps a key of the hidden rehearsal, so that the code for a tap has run once.</summary>
    [JSImport("tapRehearsal", Name)]
    internal static partial void TapRehearsal();

    /// <summary>Tells the page that the rehearsal is over.</summary>
    [JSImport("rehearsed", Name)]
    internal static partial void Rehearsed();
}
