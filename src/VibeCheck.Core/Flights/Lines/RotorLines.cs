using VibeCheck.Core.Airframes;
using VibeCheck.Core.Signals;

namespace VibeCheck.Core.Flights.Lines;

/// <summary>Where the orders of the motors lie in a spectrum of the hover.</summary>
internal sealed class RotorLines
{
    // Lines this many sample rates up are still named when they fold; beyond, any logger's filter has removed them.
    private const double HighestRates = 2;

    private readonly List<RotorLine> _lines = [];

    /// <param name="motors">Motors with mean and spread of their speed in the hover, rpm.</param>
    /// <param name="orders">Orders of a motor that are measured; all others up to twice the blades are candidates of second choice.</param>
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

    /// <summary>Lines that may make a peak: measured orders before others, unfolded before folded.</summary>
    /// <param name="hz">Frequency of the peak.</param>
    /// <param name="marginHz">How far off a steady line may lie.</param>
    internal IReadOnlyList<RotorLine> Near(double hz, double marginHz)
    {
        // Speeds wander by some two spreads while the line keeps its place in the mean.
        List<RotorLine> near = [.. _lines.Where(l => Math.Abs(l.SeenHz - hz) <= marginHz + 2 * l.SpreadHz)];
        List<RotorLine> best = near.Exists(l => l.Measured) ? near.FindAll(l => l.Measured) : near;
        return best.Exists(l => !l.Folded) ? best.FindAll(l => !l.Folded) : best;
    }
}

/// <summary>An order of a motor as a line in the spectrum.</summary>
/// <param name="MotorId">The motor.</param>
/// <param name="Order">Cycles a revolution.</param>
/// <param name="Hz">True mean frequency, Hz.</param>
/// <param name="SeenHz">Where it shows, Hz: folded when above half the sample rate.</param>
/// <param name="SpreadHz">Standard deviation of its frequency in the hover, Hz.</param>
/// <param name="Measured">Whether the order is one of those measured.</param>
/// <param name="Folded">Whether it lies above half the sample rate.</param>
internal readonly record struct RotorLine(string MotorId, int Order, double Hz, double SeenHz, double SpreadHz, bool Measured, bool Folded);
