using VibeCheck.Core.Flights.Temperatures;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Quality;

/// <summary>A temperature that does not change while the unit must warm up: frozen, capped or cut off below.</summary>
/// <remarks>
/// Whole degrees stay the same for a long time near the end of warming up, and that is no fault. It is one where the slope just before
/// shows that several more steps must have come: a unit of first order with time constant τ that warms by s °C per second gains another s τ
/// (1 - exp(-D/τ)) in the next D seconds at the same load. τ is taken as 15 s, shorter than that of any motor or ESC with its wiring, which
/// gives the least gain. The other units of its kind show more: their gain in that time, as a share of their gain before, is expected of
/// this one too. Units of one kind have time constants within a factor of about two, and only one three times as fast as the others could
/// have settled while they still warm up.
/// </remarks>
internal sealed class StandingTemperature
{
    private const double LeastTauS = 15;

    // The slope is taken over this time before the standstill. With less than the second value there is no slope.
    private const double SlopeS = 12,
        LeastSlopeS = 4;

    private const double LeastStandS = 5;

    // At least this many steps must be missing in one column. Rounding can hide one, and a temporarily lower load another.
    private const double LeastSteps = 3;

    // By comparison with the other units, this many degrees must be missing too: steps of a tenth are small relative to the differences
    // between units.
    private const double LeastGainC = 1.5;

    // A temperature may stand still for a good reason when the load falls.
    private const double LeastLoadShare = 0.9;

    // A floor: the unit is under load for this long before the reading changes at all, and then rises at a rate that corresponds to this
    // many missing steps. Sensors on the outside of a motor lag by some seconds, so the limits are wider.
    private const double LeastFloorS = 8,
        LeastFloorSteps = 5,
        FloorSlopeS = 8;

    private const double TurningShare = 0.4;

    private readonly double[] _timeS,
        _valuesC;
    private readonly double _stepC,
        _loadFromS,
        _loadToS;
    private readonly Series? _load;

    private StandingTemperature(UnitTrack unit, MotorTrack motor)
    {
        Unit = unit;
        (_timeS, _valuesC) = (unit.TempC.TimeS, unit.TempC.Values);
        _stepC = TemperatureFit.Resolution(_valuesC);
        _load = motor.Rpm ?? motor.CurrentA ?? motor.Command;
        (_loadFromS, _loadToS) = UnderLoad(_load);
    }

    internal UnitTrack Unit { get; }

    /// <summary>First reading of the standstill.</summary>
    internal int First { get; private set; }

    /// <summary>Index after its last reading.</summary>
    internal int End { get; private set; }

    /// <summary>Smallest number of steps that the unit should have gained in it.</summary>
    internal double MissingSteps { get; private set; }

    /// <summary>The same without allowance for rounding: the expected number, for sums over many columns.</summary>
    internal double MissingStepsOnAverage { get; private set; }

    /// <summary>Whether the standstill comes first and the rise after.</summary>
    internal bool IsFloor { get; private set; }

    internal double AtC => _valuesC[First];

    internal double FromS => _timeS[First];

    /// <summary>Whether there is no reading after it.</summary>
    internal bool LastsToEnd => End == _timeS.Length;

    /// <summary>Whether it is sufficient evidence by itself.</summary>
    internal bool IsSure => MissingSteps >= (IsFloor ? LeastFloorSteps : LeastSteps);

    /// <summary>The longest standstill at the end or at the greatest reading, and the one at the start; only those in which steps are
    /// missing.</summary>
    /// <param name="unit">The column.</param>
    /// <param name="motor">Its motor.</param>
    /// <param name="others">The other columns of its kind.</param>
    internal static IEnumerable<StandingTemperature> Find(UnitTrack unit, MotorTrack motor, IReadOnlyList<UnitTrack> others)
    {
        if (unit.TempC.Count < 8 || double.IsNaN(UnderLoad(motor.Rpm ?? motor.CurrentA ?? motor.Command).FromS))
        {
            yield break;
        }

        StandingTemperature late = new(unit, motor),
            early = new(unit, motor) { IsFloor = true };
        if (late.FindCeiling(others))
        {
            yield return late;
        }

        if (early.FindFloor())
        {
            yield return early;
        }
    }

    /// <summary>The part of the expected missing steps that is due after a moment within the standstill.</summary>
    internal double MissingStepsAfter(double fromS)
    {
        double endS = Math.Min(_timeS[End - 1], _loadToS);
        return endS <= fromS
            ? 0
            : MissingStepsOnAverage
                * (Math.Exp(-(fromS - FromS) / LeastTauS) - Math.Exp(-(endS - FromS) / LeastTauS))
                / (1 - Math.Exp(-(endS - FromS) / LeastTauS));
    }

    /// <summary>The readings without those of the standstill except one, and without all others at a ceiling.</summary>
    internal Series Without()
    {
        bool[] keep = new bool[_timeS.Length];
        for (int i = 0; i < keep.Length; i++)
        {
            keep[i] = IsFloor ? i >= End - 1 : i <= First || (i >= End && _valuesC[i] < AtC);
        }

        return ReadingFilter.Kept(Unit.TempC, keep);
    }

    private static (double FromS, double ToS) UnderLoad(Series? load)
    {
        if (load is null)
        {
            return (double.NaN, double.NaN);
        }

        double limit = TurningShare * ReadingFilter.Typical(load);
        int first = Array.FindIndex(load.Values, v => v > limit),
            last = Array.FindLastIndex(load.Values, v => v > limit);
        return first < 0 ? (double.NaN, double.NaN) : (load.TimeS[first], load.TimeS[last]);
    }

    private bool FindCeiling(IReadOnlyList<UnitTrack> others)
    {
        int end = _valuesC.Length,
            first = end - 1;
        while (first > 0 && _valuesC[first - 1] == _valuesC[^1])
        {
            first--;
        }

        double most = _valuesC.Max();
        int top = Array.IndexOf(_valuesC, most),
            topEnd = top;
        while (topEnd < end && _valuesC[topEnd] == most)
        {
            topEnd++;
        }

        (First, End) = _timeS[topEnd - 1] - _timeS[top] > _timeS[end - 1] - _timeS[first] ? (top, topEnd) : (first, end);
        double lastedS = Math.Min(_timeS[End - 1], _loadToS) - FromS;
        if (lastedS < LeastStandS || First == 0)
        {
            // The column never changed from the first reading on, which the fit itself reports.
            return false;
        }

        double slopeFromS = Math.Max(_loadFromS, FromS - SlopeS),
            overS = FromS - slopeFromS;
        if (overS < LeastSlopeS || LoadOver(FromS, FromS + lastedS) < LeastLoadShare * LoadOver(slopeFromS, FromS))
        {
            return false;
        }

        // The mean slope over the time before, minus one step for rounding, extrapolated to its end.
        double gainedC = AtC - Unit.TempC.At(slopeFromS),
            due = (1 - Math.Exp(-lastedS / LeastTauS)) / (Math.Exp(overS / LeastTauS) - 1);
        double byOthersC = DueByOthersC(others, Math.Min(_timeS[End - 1], _loadToS));
        MissingSteps = Math.Max(Math.Max(0, gainedC - _stepC) * due, byOthersC >= LeastGainC ? byOthersC - _stepC : 0) / _stepC;
        MissingStepsOnAverage = Math.Max(MissingSteps, Math.Max(0, gainedC) * due / _stepC);
        return MissingStepsOnAverage > 0;
    }

    /// <summary>Gain of the unit until the end of its standstill if it continued like the others, °C; 0 where fewer than two others change
    /// at that time.</summary>
    private double DueByOthersC(IReadOnlyList<UnitTrack> others, double toS)
    {
        double gained = AtC - Unit.TempC.At(_loadFromS);
        double[] shares =
        [
            .. others
                .Select(o => (o.TempC.At(toS) - o.TempC.At(FromS)) / (o.TempC.At(FromS) - o.TempC.At(_loadFromS)))
                .Where(s => double.IsFinite(s) && s > 0),
        ];
        return gained > 0 && shares.Length >= 2 ? gained * shares.Min() : 0;
    }

    private bool FindFloor()
    {
        int end = 1;
        while (end < _valuesC.Length && _valuesC[end] == _valuesC[0])
        {
            end++;
        }

        (First, End) = (0, end);
        if (end >= _valuesC.Length - 2 || _timeS[end - 1] - _loadFromS < LeastFloorS || _timeS[^1] - _timeS[end - 1] < FloorSlopeS)
        {
            return false;
        }

        double slope = Math.Max(0, Unit.TempC.At(_timeS[end - 1] + FloorSlopeS) - AtC - _stepC) / FloorSlopeS;
        MissingStepsOnAverage = MissingSteps = slope * (_timeS[end - 1] - _loadFromS) / _stepC;
        return IsSure;
    }

    private double LoadOver(double fromS, double toS) => _load!.MeanOver([new(fromS, toS)]) ?? double.NaN;
}
