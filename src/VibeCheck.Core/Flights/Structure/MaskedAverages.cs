using VibeCheck.Core.Airframes;
using VibeCheck.Core.Signals;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Flights.Structure;

/// <summary>Calculates the masked spectra of the three axes, window by window.</summary>
/// <remarks>Most of the windows are those of the flight's own spectra: the code that calculates these can pass them to <see cref="Taker"/>,
/// so that they are not transformed twice.</remarks>
internal sealed class MaskedAverages
{
    private const double LongestWindowS = 2;

    // Higher orders are weak, and masking all of them would leave nothing.
    private const int HighestOrder = 8;

    private readonly ImuTrack _imu;
    private readonly IReadOnlyList<ContiguousSegment> _runs;
    private readonly WelchPlan _plan;
    private readonly bool[][] _masks;
    private readonly double[][] _sums;
    private readonly int[][] _counts;
    private readonly bool[] _isShown = new bool[3];

    private MaskedAverages(ImuTrack imu, IReadOnlyList<ContiguousSegment> runs, WelchPlan plan, bool[][] masks)
    {
        (_imu, _runs, _plan, _masks) = (imu, runs, plan, masks);
        _sums = [new double[plan.Bins], new double[plan.Bins], new double[plan.Bins]];
        _counts = [new int[plan.Bins], new int[plan.Bins], new int[plan.Bins]];
    }

    /// <summary>An object without windows yet; null when the hover contains no window.</summary>
    internal static MaskedAverages? Of(Flight flight, Airframe airframe, IReadOnlyList<ContiguousSegment> runs)
    {
        double rateHz = flight.Imu.RateHz;
        if (Spectra.WindowLength(runs, rateHz, new() { ResolutionHz = 1 / LongestWindowS }) is not int length)
        {
            return null;
        }

        int fitting = Math.Min(length, Spectra.WindowLength(runs, rateHz, new())!.Value);
        WelchPlan plan = new(Window.Hann, fitting, fitting / 2, rateHz);
        List<(Series Rpm, int Blades)> speeds =
        [
            .. airframe.Motors.Where(m => flight.Track(m.Id)?.Rpm is { Count: > 0 }).Select(m => (flight.Track(m.Id)!.Rpm!, m.Blades)),
        ];
        return new(flight.Imu, runs, plan, Masks(flight.Imu, runs, plan, speeds));
    }

    /// <summary>Accepts the windows of a plan over the same runs; null for a channel that is not acceleration, and where the windows differ
    /// from those needed.</summary>
    internal SquaresTaker? Taker(ImuChannel channel, WelchPlan plan)
    {
        int axis = channel.IsAcceleration ? channel.Name[^1] - 'x' : -1;
        return axis >= 0 && plan.Window == _plan.Window && plan.Length == _plan.Length && plan.Step == _plan.Step
            ? (window, squares) => Take(axis, window, squares)
            : null;
    }

    /// <summary>The masked spectra of the three axes, from the windows that were passed; the windows of an axis for which none were passed
    /// are transformed now.</summary>
    internal IReadOnlyList<MaskedSpectrum> Finish()
    {
        Parallel.For(0, 3, Transform);
        return [.. Enumerable.Range(0, 3).Select(Finished)];
    }

    private void Transform(int axis)
    {
        if (_isShown[axis])
        {
            return;
        }

        WelchAverage average = new(_plan, [], (window, squares) => Take(axis, window, squares));
        foreach (ContiguousSegment run in _runs)
        {
            average.Add(_imu.Acceleration[axis].AsSpan(run.FirstSample, run.SampleCount));
        }
    }

    private void Take(int axis, int window, ReadOnlySpan<double> squares)
    {
        _isShown[axis] = true;
        ReadOnlySpan<bool> mask = _masks[window];
        Span<double> sums = _sums[axis];
        Span<int> counts = _counts[axis];
        for (int k = 0; k < squares.Length; k++)
        {
            if (!mask[k])
            {
                sums[k] += squares[k];
                counts[k]++;
            }
        }
    }

    private MaskedSpectrum Finished(int axis)
    {
        double[] density = new double[_plan.Bins];
        for (int k = 0; k < density.Length; k++)
        {
            double sides = k == 0 || k == density.Length - 1 ? 0.5 : 1;
            density[k] = _counts[axis][k] == 0 ? double.NaN : sides * _plan.OneSidedScale * _sums[axis][k] / _counts[axis][k];
        }

        return new(_plan.ResolutionHz, density, _counts[axis]);
    }

    /// <summary>The bins that are left out of each window, one flag for each bin.</summary>
    private static bool[][] Masks(
        ImuTrack imu,
        IReadOnlyList<ContiguousSegment> runs,
        WelchPlan plan,
        List<(Series Rpm, int Blades)> speeds
    )
    {
        List<bool[]> masks = [];
        foreach (ContiguousSegment run in runs)
        {
            ContiguousSegment block = imu.Blocks.First(b =>
                run.FirstSample >= b.FirstSample && run.FirstSample < b.FirstSample + b.SampleCount
            );
            for (int first = run.FirstSample; first + plan.Length <= run.FirstSample + run.SampleCount; first += plan.Step)
            {
                TimeInterval time = new(block.TimeOf(first), block.TimeOf(first + plan.Length - 1));
                masks.Add(Mask(time, plan, speeds));
            }
        }

        return [.. masks];
    }

    private static bool[] Mask(TimeInterval time, WelchPlan plan, List<(Series Rpm, int Blades)> speeds)
    {
        bool[] mask = new bool[plan.Bins];
        foreach ((Series rpm, int blades) in speeds)
        {
            double low = double.PositiveInfinity,
                high = 0;
            for (int i = 0; i <= 4; i++)
            {
                double speed = rpm.At(time.FromS + i * time.Seconds / 4);
                low = Math.Min(low, speed);
                high = Math.Max(high, speed);
            }

            for (int order = 1; order <= HighestOrder; order++)
            {
                // Folded lines of high orders are weak (because of blades and loggers) and would hide half of the spectrum.
                if (order > 2 * blades && order * high / 60 > plan.RateHz / 2)
                {
                    break;
                }

                Cover(mask, order * low / 60, order * high / 60, plan);
            }
        }

        return mask;
    }

    /// <summary>Masks the bins of a line that moves between two frequencies, folded where it is above half the rate.</summary>
    private static void Cover(bool[] mask, double lowHz, double highHz, WelchPlan plan)
    {
        // A line with a Hann window is four bins wide; delayed or rounded telemetry moves it by a little more.
        double margin = 2.5 + 0.004 * highHz / plan.ResolutionHz;
        double a = Folding.SeenHz(lowHz, plan.RateHz),
            b = Folding.SeenHz(highHz, plan.RateHz);
        int from = (int)Math.Floor(Math.Min(a, b) / plan.ResolutionHz - margin),
            to = (int)Math.Ceiling(Math.Max(a, b) / plan.ResolutionHz + margin);
        for (int k = Math.Max(0, from); k <= Math.Min(mask.Length - 1, to); k++)
        {
            mask[k] = true;
        }
    }
}
