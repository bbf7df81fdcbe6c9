using VibeCheck.Reports.Figures;

namespace VibeCheck.Reports.Pages;

/// <summary>Prepares the drawing of pages ahead of time.</summary>
public static class PageDrawing
{
    /// <summary>Loads the drawing library and draws one empty chart on another thread. Loading takes about 0.3 s of one core, which a
    /// caller can spend while logs are still being read. Pages are the same without it.</summary>
    /// <returns>Completes when everything is ready; a caller need not wait for it.</returns>
    public static Task PrepareAsync() => Task.Run(() => Chart.ToMarkup(Chart.New(10, 10, 10, 10), 100, 100, "ready", ""));
}
