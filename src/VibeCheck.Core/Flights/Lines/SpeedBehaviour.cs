using VibeCheck.Core.Signals;
using VibeCheck.Core.Statistics;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Flights.Lines;

/// <summary>Behaviour of a line of the hover while the rotors turn faster or slower: whether it stays or moves with them.</summary>
/// <remarks>Windows of the whole flight whose speed differs enough from that of the hover to distinguish the two cases are examined at both
/// places: the original frequency of the line, and the frequency that it would have if it moved with speed. The line is at the place where
/// it stands clear of its neighbourhood.</remarks>
internal sealed class SpeedBehaviour(Spectrogram spectrogram, Series? rpm, double hoverRpm)
{
    private const double LeastShiftBins = 4;
    private const double LeastShareOfHoverSpeed = 0.4;
    private const int Neighbours = 12;
    private const int LeastWindows = 3;
    private const double ClearRatio = 2.5;

    internal PeakKind Of(double hz)
    {
        if (rpm is null || !(hoverRpm > 0))
        {
            return PeakKind.Unknown;
        }

        List<double> stays = [],
            moves = [];
        for (int w = 0; w < spectrogram.TimeS.Length; w++)
        {
            double ratio = rpm.At(spectrogram.TimeS[w]) / hoverRpm,
                shift = Math.Abs(ratio - 1) * hz / spectrogram.ResolutionHz;
            if (ratio >= LeastShareOfHoverSpeed && shift >= LeastShiftBins)
            {
                stays.Add(Clearness(w, hz));
                moves.Add(Clearness(w, hz * ratio));
            }
        }

        if (stays.Count < LeastWindows)
        {
            return PeakKind.Unknown;
        }

        double stay = Robust.Quantile([.. stays], 0.5),
            move = Robust.Quantile([.. moves], 0.5);
        return stay >= ClearRatio && stay > 1.5 * move ? PeakKind.Structure
            : move >= ClearRatio && move > 1.5 * stay ? PeakKind.Rotor
            : PeakKind.Unknown;
    }

    /// <summary>Highest of three bins relative to the median of the neighbourhood; 1 where nothing stands out, 0 outside the
    /// spectrum.</summary>
    private double Clearness(int window, double hz)
    {
        float[] row = spectrogram.Density[window];
        int at = (int)Math.Round(hz / spectrogram.ResolutionHz),
            from = Math.Max(1, at - Neighbours),
            to = Math.Min(row.Length - 2, at + Neighbours);
        if (at < 2 || at > row.Length - 3)
        {
            return 0;
        }

        double[] around = [.. Enumerable.Range(from, to - from + 1).Where(k => Math.Abs(k - at) > 2).Select(k => (double)row[k])];
        double usual = Robust.Quantile(around, 0.5);
        return usual > 0 ? Math.Max(row[at], Math.Max(row[at - 1], row[at + 1])) / (2 * usual) : 0;
    }
}
