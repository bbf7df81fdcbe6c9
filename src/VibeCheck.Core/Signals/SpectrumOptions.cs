namespace VibeCheck.Core.Signals;

/// <summary>How spectra are made.</summary>
public sealed record SpectrumOptions
{
    /// <summary>The window; Hann by default.</summary>
    public Window Window { get; init; } = Window.Hann;

    /// <summary>Coarsest spacing of the bins wanted, Hz; null chooses from the length: at least
    /// some 15 windows, not finer than 0.25 Hz.</summary>
    public double? ResolutionHz { get; init; }

    /// <summary>Share by which neighbouring windows overlap, 0 to below 1.</summary>
    public double Overlap { get; init; } = 0.5;
}
