using System.Globalization;
using VibeCheck.Core.Airframes;
using VibeCheck.Core.Signals;
using VibeCheck.Core.Tracks;
using VibeCheck.Logs.Columns;
using VibeCheck.Logs.Inputs;
using VibeCheck.Logs.Tables;
using VibeCheck.Logs.Text;
using VibeCheck.Logs.Units;

namespace VibeCheck.Logs.Checks;

/// <summary>Checks the unit of reported speeds against the vibration: turned back by the right speeds its lines stand still, by speeds
/// in another unit they do not.</summary>
/// <param name="imu">The vibration.</param>
/// <param name="airframe">Blades and pole pairs; null where no airframe is known.</param>
/// <param name="search">Where the telemetry's clock may stand against the IMU's.</param>
internal sealed class SpeedUnits(ImuTrack imu, Airframe? airframe, AlignmentSearch search)
{
    // Hover speeds from the largest to the smallest multirotors: common practice.
    private const double LeastHoverRpm = 500,
        MostHoverRpm = 60_000;

    // The vibration is cut into pieces of that length, and two halves made of every other piece must agree.
    private const double PieceS = 5;
    private const double MostApartS = 0.15;

    // Orders that are looked at, and how much more power than under the unit as read another unit must find there.
    private const int LeastOrders = 4;
    private const double ClearlyMore = 1.5;

    // Magnets come in pairs: 3 to 28 pairs are met.
    private const int FewestPolePairs = 3,
        MostPolePairs = 28;

    /// <summary>A unit under which the speeds fit the vibration.</summary>
    /// <param name="Unit">The unit.</param>
    /// <param name="Factor">From the numbers as they were read to those in this unit.</param>
    /// <param name="PolePairs">Pole pairs that fit, where those are what is wrong; else null.</param>
    private sealed record Other(Unit Unit, double Factor, int? PolePairs);

    /// <summary>Whether the speeds, as read, fit the vibration clearly.</summary>
    internal bool Fit(IReadOnlyList<MotorTrack> motors) => RecorderAlignment.Find(imu, Rotors(motors, 1), search).OffsetS.HasValue;

    /// <summary>Called where the speeds, as read, do not fit the vibration: a unit that header and data left open is corrected, and
    /// the files returned with it; a unit that the header gives is refused when another fits clearly; else nothing is decided.</summary>
    /// <param name="files">Files that hold the speeds.</param>
    /// <param name="motors">Their tracks, as read.</param>
    /// <returns>The files with the right unit; null where nothing is decided.</returns>
    /// <exception cref="InputFaultException">Header and vibration contradict each other.</exception>
    internal IReadOnlyList<ScaledTable>? Settled(IReadOnlyList<ScaledTable> files, IReadOnlyList<MotorTrack> motors)
    {
        List<PlannedColumn> columns = [.. files.SelectMany(SpeedColumns)];
        if (
            columns.Count == 0
            || (columns[0].Unit!.IsElectrical && airframe is null)
            || columns.Any(c => c.Unit != columns[0].Unit || c.HowKnown is "columns file" or "user")
            || Clear(columns[0].Unit!, motors) is not { } other
        )
        {
            return null;
        }

        PlannedColumn first = columns[0];
        if (other.PolePairs is int pairs)
        {
            MotorTrack shown = motors.First(m => m.Rpm is not null);
            throw files[0]
                .Fault(
                    files[0].Form.HeaderLine,
                    first.Index + 1,
                    string.Create(
                        CultureInfo.InvariantCulture,
                        $"'{CellText.Cut(first.Header)}' is electrical speed, and with the airframe's "
                            + $"{airframe!.Find(shown.MotorId)!.PolePairs} pole pairs the vibration does not follow it; with {pairs} "
                            + $"it does"
                    ),
                    "Count the magnets of the motor and correct pole_pairs (half of them) in the airframe file."
                );
        }

        if (!first.UnitOpen)
        {
            throw files[0]
                .Fault(
                    files[0].Form.HeaderLine,
                    first.Index + 1,
                    string.Create(
                        CultureInfo.InvariantCulture,
                        $"'{CellText.Cut(first.Header)}' says {first.Unit!.Symbol} (rotors at {Hover(motors):F0} rpm), but the "
                            + $"vibration follows {Hover(motors) * other.Factor:F0} rpm: the numbers fit {other.Unit.Symbol}"
                    ),
                    "Say which is right in a columns file (vibecheck read --write-columns)."
                );
        }

        return [.. files.Select(f => UnitScaling.Exchanged(f, SpeedColumns(f), other.Unit))];
    }

    /// <summary>The files without speeds whose unit neither header nor size nor vibration shows; null when there are none.</summary>
    internal static IReadOnlyList<ScaledTable>? WithoutProvisional(IReadOnlyList<ScaledTable> files)
    {
        List<PlannedColumn> Open(ScaledTable file) => [.. SpeedColumns(file).Where(c => c.UnitProvisional)];
        return files.Any(f => Open(f).Count > 0)
            ? [.. files.Select(f => Open(f) is { Count: > 0 } open ? UnitScaling.Without(f, open) : f)]
            : null;
    }

    private static List<PlannedColumn> SpeedColumns(ScaledTable file) =>
        [.. file.SparseColumns.Where(c => c.Channel!.Quantity == Quantity.RotorSpeed)];

    /// <summary>The other unit under which the lines stand still in both halves of the vibration; where several do (half or twice the
    /// speed puts one line of a rotor onto another), the one whose lines are strongest. Null when none does.</summary>
    private Other? Clear(Unit said, IReadOnlyList<MotorTrack> motors)
    {
        double hoverRpm = Hover(motors),
            best = 0;
        (ImuTrack one, ImuTrack two) = Halves();
        Other? clear = null;
        foreach (Other other in Others(said, motors).Where(o => hoverRpm * o.Factor is > LeastHoverRpm and < MostHoverRpm))
        {
            IReadOnlyList<RotorSpeed> rotors = Rotors(motors, other.Factor);
            if (
                RecorderAlignment.Find(one, rotors, search).OffsetS is double first
                && RecorderAlignment.Find(two, rotors, search).OffsetS is double second
                && Math.Abs(first - second) < MostApartS
                && LinePower(rotors, (first + second) / 2, OnceAndBlades) is var power
                && power > best
                && !AsReadFitsAsWell(motors, rotors, (first + second) / 2)
            )
            {
                (clear, best) = (other, power);
            }
        }

        return clear;
    }

    /// <summary>Whether the speeds as read have as much of the vibration at their first orders as under another unit: that one puts one
    /// of its orders onto a strong line, the right one has them all.</summary>
    private bool AsReadFitsAsWell(IReadOnlyList<MotorTrack> motors, IReadOnlyList<RotorSpeed> other, double offsetS) =>
        Hover(motors) is > LeastHoverRpm and < MostHoverRpm
        && LinePower(other, offsetS, FirstOrders) < ClearlyMore * LinePower(Rotors(motors, 1), offsetS, FirstOrders);

    private static int[] OnceAndBlades(RotorSpeed rotor) => [1, Math.Max(2, rotor.Blades)];

    private static int[] FirstOrders(RotorSpeed rotor) => [.. Enumerable.Range(1, Math.Max(LeastOrders, rotor.Blades))];

    /// <summary>Power at some orders of each rotor, (m/s²)², over short windows spread over the record.</summary>
    private double LinePower(IReadOnlyList<RotorSpeed> rotors, double offsetS, Func<RotorSpeed, int[]> orders)
    {
        const int MostWindows = 60;
        const double WindowS = 0.5;
        double power = 0;
        int length = (int)(WindowS * imu.RateHz),
            step = Math.Max(length, imu.Count / MostWindows);
        foreach (ContiguousSegment block in imu.Blocks)
        {
            for (int from = block.FirstSample; from + length <= block.FirstSample + block.SampleCount; from += step)
            {
                double middleS = block.TimeOf(from) + WindowS / 2 - offsetS;
                power += rotors.Sum(r =>
                    r.Rpm.At(middleS) / 60 * block.PeriodS is var turns ? orders(r).Sum(k => LineAt(from, length, k * turns)) : 0
                );
            }
        }

        return power;
    }

    /// <summary>Squared amplitude of a line, summed over the axes, by a Hann-weighted Fourier sum.</summary>
    private double LineAt(int from, int length, double turnsPerSample)
    {
        if (turnsPerSample is <= 0 or >= 0.5)
        {
            return 0;
        }

        double power = 0;
        foreach (double[] axis in imu.Acceleration)
        {
            double re = 0,
                im = 0;
            for (int i = 0; i < length; i++)
            {
                (double sin, double cos) = Math.SinCos(Math.Tau * turnsPerSample * i);
                double value = axis[from + i] * (1 - Math.Cos(Math.Tau * i / length));
                (re, im) = (re + value * cos, im - value * sin);
            }

            power += 4 * (re * re + im * im) / ((double)length * length);
        }

        return power;
    }

    private IEnumerable<Other> Others(Unit said, IReadOnlyList<MotorTrack> motors)
    {
        int?[] given = [.. motors.Where(m => m.Rpm is not null).Select(m => airframe?.Find(m.MotorId)?.PolePairs).Distinct()];
        int? pairs = given.Length == 1 ? given[0] : null;
        double saidFactor = said.Factor / (said.IsElectrical ? pairs ?? 1 : 1);
        foreach (Unit unit in (Unit[])[UnitTable.Rpm, UnitTable.Hertz, UnitTable.ERpm, UnitTable.EHertz, UnitTable.ERpm100])
        {
            if (unit != said && (pairs is not null || !unit.IsElectrical))
            {
                yield return new(unit, unit.Factor / (unit.IsElectrical ? pairs!.Value : 1) / saidFactor, null);
            }
        }

        for (int other = FewestPolePairs; said.IsElectrical && pairs is not null && other <= MostPolePairs; other++)
        {
            if (other != pairs)
            {
                yield return new(said, (double)pairs.Value / other, other);
            }
        }
    }

    private IReadOnlyList<RotorSpeed> Rotors(IReadOnlyList<MotorTrack> motors, double factor) =>
        [
            .. motors
                .Where(m => m.Rpm is not null)
                .Select(m => new RotorSpeed(
                    m.MotorId,
                    factor == 1 ? m.Rpm! : new Series(m.Rpm!.TimeS, Array.ConvertAll(m.Rpm.Values, v => v * factor)),
                    airframe?.Find(m.MotorId)?.Blades ?? 2
                )),
        ];

    /// <summary>Upper quartile of the reported speeds, mean over the motors: near hover wherever most of the record is flight.</summary>
    private static double Hover(IReadOnlyList<MotorTrack> motors) =>
        motors
            .Where(m => m.Rpm is { Count: > 0 })
            .Select(m =>
            {
                double[] sorted = [.. m.Rpm!.Values.Order()];
                return sorted[sorted.Length * 3 / 4];
            })
            .DefaultIfEmpty(0)
            .Average();

    private (ImuTrack, ImuTrack) Halves()
    {
        var halves = (One: new List<ContiguousSegment>(), Two: new List<ContiguousSegment>());
        int piece = 0;
        foreach (ContiguousSegment block in imu.Blocks)
        {
            int length = Math.Max(1, (int)(PieceS / block.PeriodS));
            for (int from = 0; from < block.SampleCount; from += length)
            {
                (piece++ % 2 == 0 ? halves.One : halves.Two).Add(
                    new(
                        block.FirstSample + from,
                        Math.Min(length, block.SampleCount - from),
                        block.TimeOf(block.FirstSample + from),
                        block.PeriodS
                    )
                );
            }
        }

        return (imu with { Blocks = halves.One }, imu with { Blocks = halves.Two.Count == 0 ? halves.One : halves.Two });
    }
}
