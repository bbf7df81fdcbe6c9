using VibeCheck.Core.Airframes;
using VibeCheck.Core.Signals;

namespace VibeCheck.Core.Flights.Lines;

/// <summary>The frequencies of the motors' orders in a spectrum of the hover.</summary>
internal sealed class RotorLines
{
    // Folded lines are named up to this many sample rates; above that, the filter of any logger has removed them.
    private const double HighestRates = 2;

    private readonly List<RotorLine> _lines = [];

    /// <param name="motors">Motors with mean and spread of their speed in the hover, rpm.</param>
    /// <param name="orders">Orders of a motor that are measured; all others up to twice the blade count are second-choice
    /// candidates.</param>
    /// <param name="rateHz">Sample rate, Hz.</param>
    internal RotorLines(
        IReadOnlyList<(Motor Motor, double MeanRpm, double SpreadRpm)> motors,
        Func<Motor, IReadOnlyList<int>> orders,
        double rateHz
    )
    {
        foreach ((Motor motor, double meanRpm, double spreadRpm) in motors)
        {
            IReadOnlyList<int> measured = orders(motor);
            int highest = Math.Max(2 * motor.Blades, measured.DefaultIfEmpty(1).Max());
            for (int order = 1; order <= highest; order++)
            {
                double hz = order * meanRpm / 60;
                if (hz > 0 && hz <= HighestRates * rateHz)
                {
                    _lines.Add(
                        new(
                            motor.Id,
                            order,
                            hz,
                            Folding.SeenHz(hz, rateHz),
                            order * spreadRpm / 60,
                            measured.Contains(order),
                            hz > rateHz / 2
                        )
                    );
                }
            }
        }
    }

    internal IReadOnlyList<RotorLine> All => _lines;

    /// <summary>Lines that may cause a peak: measured orders before others, unfolded before folded.</summary>
    /// <param name="hz">Frequency of the peak.</param>
    /// <param name="marginHz">Largest distance of a steady line.</param>
    internal IReadOnlyList<RotorLine> Near(double hz, double marginHz)
    {
        // Speeds vary by about two spreads while the line keeps its mean frequency.
        List<RotorLine> near = [.. _lines.Where(l => Math.Abs(l.SeenHz - hz) <= marginHz + 2 * l.SpreadHz)];
        List<RotorLine> best = near.Exists(l => l.Measured) ? near.FindAll(l => l.Measured) : near;
        return best.Exists(l => !l.Folded) ? best.FindAll(l => !l.Folded) : best;
    }
}

/// <summary>An order of a motor as a line in the spectrum.</summary>
/// <param name="MotorId">The motor.</param>
/// <param name="Order">Cycles per revolution.</param>
/// <param name="Hz">True mean frequency, Hz.</param>
/// <param name="SeenHz">Frequency at which it appears, Hz: folded when above half the sample rate.</param>
/// <param name="SpreadHz">Standard deviation of its frequency in the hover, Hz.</param>
/// <param name="Measured">Whether the order is one of those measured.</param>
/// <param name="Folded">Whether it is above half the sample rate.</param>
internal readonly record struct RotorLine(string MotorId, int Order, double Hz, double SeenHz, double SpreadHz, bool Measured, bool Folded);
