using VibeCheck.Reports.Figures;

namespace VibeCheck.Reports.Pages;

/// <summary>Gets the drawing of pages ready ahead of time.</summary>
public static class PageDrawing
{
    /// <summary>Loads the drawing library and draws one empty chart on another thread. Loading costs some 0.3 s of one core, which a
    /// caller can spend while logs are still being read. Pages come out the same without it.</summary>
    /// <returns>Done when everything is ready; nobody has to wait for it.</returns>
    public static Task PrepareAsync() => Task.Run(() => Chart.ToMarkup(Chart.New(10, 10, 10, 10), 100, 100, "ready", ""));
}
