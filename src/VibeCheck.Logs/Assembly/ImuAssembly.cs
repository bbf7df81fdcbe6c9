using System.Globalization;
using VibeCheck.Core.Samples;
using VibeCheck.Core.Tracks;
using VibeCheck.Logs.Checks;
using VibeCheck.Logs.Clocks;
using VibeCheck.Logs.Columns;
using VibeCheck.Logs.Tables;
using VibeCheck.Logs.Units;

namespace VibeCheck.Logs.Assembly;

/// <summary>Builds the IMU track, on an even clock, from rows whose stamps have jitter.</summary>
internal sealed class ImuAssembly
{
    // Fewer samples say nothing about vibration.
    private const int LeastSamples = 16;

    private const int LeastStandstill = 30;

    private readonly List<Warning> _warnings = [];

    internal required ImuTrack Track { get; init; }

    internal required EvenClock Clock { get; init; }

    internal required IReadOnlyList<TimeInterval> Gaps { get; init; }

    internal required int RepeatedRows { get; init; }

    /// <summary>Times at which the log has no row, or none of its axes, that were filled.</summary>
    internal int Filled { get; private init; }

    /// <summary>What is wrong with the samples, and what was done about it.</summary>
    internal IReadOnlyList<QualityIssue> Quality { get; private set; } = [];

    internal int ClippedSamples { get; private set; }

    internal IReadOnlyList<Warning> Warnings => _warnings;

    /// <summary>The files, with a warning where one of several IMUs was chosen.</summary>
    internal required IReadOnlyList<ScaledTable> Files { get; init; }

    /// <summary>Builds the track of one or more files in time order.</summary>
    /// <param name="files">Files with acceleration; their inertial columns are taken out of them.</param>
    /// <param name="shiftsS">Added to each file's times to meet the flight's clock, s.</param>
    /// <param name="options">Which IMU.</param>
    internal static ImuAssembly Of(IReadOnlyList<ScaledTable> files, IReadOnlyList<double> shiftsS, ReadOptions options)
    {
        var rows = new Rows();
        for (int i = 0; i < files.Count; i++)
        {
            rows.Add(files[i], shiftsS[i], options);
        }

        ScaledTable first = files[0];
        if (rows.Count < LeastSamples)
        {
            throw first.Fault(
                null,
                null,
                string.Create(CultureInfo.InvariantCulture, $"there are only {rows.Count} usable rows of acceleration"),
                "Give the log of a whole flight."
            );
        }

        UnmeasuredSamples found = UnmeasuredSamples.Mark(
            rows.Acceleration,
            rows.Rates,
            rows.Count / Math.Max(1e-3, rows.TimeS[^1] - rows.TimeS[0])
        );
        EvenClock clock = EvenClock.Find(rows.TimeS);
        EvenSamples samples = EvenSamples.Of(rows.Acceleration, rows.Rates, clock);
        var (up, notes) = Gravity(samples.Acceleration);
        var built = new ImuAssembly
        {
            Files = [.. files.Select(f => WithChoice(f, options))],
            Clock = clock,
            RepeatedRows = rows.Repeated,
            Gaps = GapsOf(samples.Blocks),
            Filled = samples.FilledPlaces,
            Track = new()
            {
                Blocks = samples.Blocks,
                AccXMps2 = samples.Acceleration[0],
                AccYMps2 = samples.Acceleration[1],
                AccZMps2 = samples.Acceleration[2],
                AccStepsMps2 = found.Steps,
                RateXRadps = samples.Rates?[0],
                RateYRadps = samples.Rates?[1],
                RateZRadps = samples.Rates?[2],
                ZPointsUp = up,
            },
        };
        int outOfOrder = files.Sum(f => f.Stamps.StepsBack);
        built.Quality =
        [
            .. SampleQuality.Of(found, samples, clock, built.Track),
            .. SampleQuality.OutOfOrder(outOfOrder / (double)(rows.Count + outOfOrder)),
        ];
        built._warnings.AddRange(notes);
        built.WarnOfStandstills(found, rows);
        (built.ClippedSamples, List<Warning> health) = InertialHealth.Of(built.Track);
        built._warnings.AddRange(health);
        built.WarnOfClock(rows);
        return built;
    }

    /// <summary>Names of the IMUs of a file whose rows name them, in order.</summary>
    private static IReadOnlyList<string> ImuNames(ScaledTable file) =>
        [.. file.Rows.Labels.OrderBy(n => MotorNames.LoneNumber(n) ?? int.MaxValue).ThenBy(n => n, StringComparer.Ordinal)];

    private static ScaledTable WithChoice(ScaledTable file, ReadOptions options)
    {
        int imus = file.ImuLabels is null ? 1 : ImuNames(file).Count;
        if (imus < 2)
        {
            return file;
        }

        Warning chosen = new(
            "several-imus",
            string.Create(
                CultureInfo.InvariantCulture,
                $"The log has {imus} IMUs; number {options.ImuUnit} is used (--imu-unit takes another)."
            )
        );
        return file with { Warnings = [.. file.Warnings, chosen] };
    }

    private void WarnOfStandstills(UnmeasuredSamples found, Rows rows)
    {
        for (int axis = 0; axis < 3; axis++)
        {
            (int samples, int from) = found.Standstills[axis];
            if (samples >= LeastStandstill && samples / Track.RateHz >= InertialHealth.FrozenS)
            {
                _warnings.Add(InertialHealth.Frozen("acc_" + "xyz"[axis], samples / Track.RateHz, rows.TimeS[from]));
            }
        }
    }

    private void WarnOfClock(Rows rows)
    {
        if (Filled > 0)
        {
            _warnings.Add(
                new(
                    "samples-filled",
                    string.Create(
                        CultureInfo.InvariantCulture,
                        $"{Filled} of {Track.Count} samples were missing a few at a time and were interpolated; longer gaps are left "
                            + $"as gaps."
                    )
                )
            );
        }

        if (rows.Repeated > 0)
        {
            _warnings.Add(
                new(
                    "rows-repeated",
                    string.Create(
                        CultureInfo.InvariantCulture,
                        $"{rows.Repeated} rows repeat the row before, time stamp and values, and were left out."
                    )
                )
            );
        }

        double period = 1 / Track.RateHz;
        if (Clock.JitterS > 0.25 * period)
        {
            _warnings.Add(
                new(
                    "stamps-wobble",
                    string.Create(
                        CultureInfo.InvariantCulture,
                        $"Time stamps jitter by {Clock.JitterS * 1000:G3} ms (standard deviation) around an even clock of "
                            + $"{Track.RateHz:G6} Hz; the even clock is used."
                    )
                )
            );
        }
    }

    private static List<TimeInterval> GapsOf(IReadOnlyList<ContiguousSegment> blocks)
    {
        var gaps = new List<TimeInterval>();
        for (int i = 1; i < blocks.Count; i++)
        {
            ContiguousSegment before = blocks[i - 1],
                after = blocks[i];
            if (after.StartS - before.EndS > 1.9 * before.PeriodS)
            {
                gaps.Add(new(before.EndS, after.StartS));
            }
        }

        return gaps;
    }

    /// <summary>Which way z points, and what looks odd, from the median of each axis.</summary>
    private static (bool? ZPointsUp, List<Warning> Notes) Gravity(double[][] acceleration)
    {
        double[] middle = [.. acceleration.Select(ColumnMedian.Of)];
        double size = Math.Sqrt(middle.Sum(m => m * m));
        List<Warning> notes = [];
        if (size < 0.3 * UnitTable.GravityMps2)
        {
            return (null, notes);
        }

        int axis = Array.FindIndex(middle, m => Math.Abs(m) == middle.Max(Math.Abs));
        if (axis != 2)
        {
            notes.Add(
                new(
                    "axes-swapped",
                    string.Create(
                        CultureInfo.InvariantCulture,
                        $"Gravity lies along {"xyz"[axis]} ({middle[axis]:F2} m/s²), not z ({middle[2]:F2} m/s²): the IMU is mounted "
                            + $"turned, or columns are swapped. Sums over three axes are right; single axes are not those of the airframe."
                    )
                )
            );
            return (Math.Abs(middle[2]) > 0.3 * size ? middle[2] > 0 : null, notes);
        }

        return (middle[2] > 0, notes);
    }

    /// <summary>Usable rows of all files, one after the other.</summary>
    private sealed class Rows
    {
        internal double[] TimeS { get; private set; } = [];

        internal double[][] Acceleration { get; private set; } =
        [
            [],
            [],
            [],
        ];

        internal double[][]? Rates { get; private set; } =
        [
            [],
            [],
            [],
        ];

        internal int Count => TimeS.Length;

        internal int Repeated { get; private set; }

        private bool _any;

        internal void Add(ScaledTable file, double shiftS, ReadOptions options)
        {
            (double[][] acceleration, double[][]? rates) = file.Inertial!.Take();
            double[][] all = [.. acceleration, .. rates ?? []];
            HashSet<int>? chosen = ChosenRows(file, options);
            double[] time = new double[file.TimeS.Length];
            int kept = Compact(file.TimeS, time, all, shiftS, chosen);
            for (int i = 0; i < all.Length; i++)
            {
                all[i] = kept == all[i].Length ? all[i] : all[i][..kept];
            }

            time = kept == time.Length ? time : time[..kept];
            if (rates is null)
            {
                Rates = null;
            }

            if (!_any)
            {
                _any = true;
                (TimeS, Acceleration, Rates) = (time, all[..3], rates is null ? null : all[3..]);
                return;
            }

            TimeS = [.. TimeS, .. time];
            for (int i = 0; i < 3; i++)
            {
                Acceleration[i] = [.. Acceleration[i], .. all[i]];
                if (Rates is not null)
                {
                    Rates[i] = [.. Rates[i], .. all[i + 3]];
                }
            }
        }

        /// <summary>Moves usable rows to the front; a missing rate keeps the value before, a
        /// missing acceleration stays unknown (NaN).</summary>
        private int Compact(double[] from, double[] time, double[][] all, double shiftS, HashSet<int>? chosen)
        {
            int kept = 0;
            double before = double.NegativeInfinity;
            for (int i = 0; i < from.Length; i++)
            {
                double t = from[i] + shiftS;
                if (
                    !(t >= before)
                    || (double.IsNaN(all[0][i]) && double.IsNaN(all[1][i]) && double.IsNaN(all[2][i]))
                    || (chosen is not null && !chosen.Contains(i))
                )
                {
                    continue;
                }

                if (
                    t == before
                    && kept > 0
                    && all[0][i].Equals(all[0][kept - 1])
                    && all[1][i].Equals(all[1][kept - 1])
                    && all[2][i].Equals(all[2][kept - 1])
                )
                {
                    Repeated++;
                    continue;
                }

                for (int c = 0; c < all.Length; c++)
                {
                    double value = all[c][i];
                    all[c][kept] =
                        double.IsNaN(value) && c > 2
                            ? kept > 0
                                ? all[c][kept - 1]
                                : 0
                            : value;
                }

                time[kept++] = t;
                before = t;
            }

            return kept;
        }

        private static HashSet<int>? ChosenRows(ScaledTable file, ReadOptions options)
        {
            if (file.ImuLabels is not { } labels)
            {
                return null;
            }

            IReadOnlyList<string> names = ImuNames(file);
            if (options.ImuUnit > names.Count)
            {
                throw file.Fault(
                    file.Form.HeaderLine,
                    file.Plan.ImuId!.Index + 1,
                    string.Create(CultureInfo.InvariantCulture, $"IMU {options.ImuUnit} was asked for, but the log has {names.Count}"),
                    "Ask for one that is there (--imu-unit)."
                );
            }

            int wanted = file.Rows.Labels.ToList().IndexOf(names[options.ImuUnit - 1]);
            var rows = new HashSet<int>();
            for (int i = 0; i < labels.Count; i++)
            {
                if ((int)labels.Values[i] == wanted)
                {
                    rows.Add(labels.Rows[i]);
                }
            }

            return rows;
        }
    }
}
