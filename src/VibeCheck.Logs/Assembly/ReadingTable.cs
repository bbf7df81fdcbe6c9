using VibeCheck.Core.Tracks;
using VibeCheck.Logs.Columns;
using VibeCheck.Logs.Tables;
using VibeCheck.Logs.Text;
using VibeCheck.Logs.Units;

namespace VibeCheck.Logs.Assembly;

/// <summary>Tells how a file was read.</summary>
internal static class ReadingTable
{
    internal static FileRecord Of(ScaledTable file, ImuAssembly? imu, IEnumerable<Warning> more)
    {
        double? rateHz = imu?.Track.RateHz ?? TelemetryRate(file);
        return new()
        {
            Path = file.Path,
            Rows = file.Rows.Seen,
            RowsUnusable = file.Rows.Unusable + file.RowsBeyondSensors + file.Stamps.StepsBack + (imu?.RepeatedRows ?? 0),
            RateHz = rateHz,
            StartedUtc = file.StartedUtc,
            JitterS = imu?.Clock.JitterS,
            ClippedSamples = imu?.ClippedSamples ?? 0,
            Gaps = imu?.Gaps ?? TelemetryGaps(file, rateHz),
            Columns = [.. file.Plan.Columns.Select(c => Column(file, c))],
            Form = [.. file.Phrases, .. Upright(imu), .. Bursts(imu)],
            Warnings = [.. file.Warnings, .. imu?.Warnings ?? [], .. more],
        };
    }

    /// <summary>Which way z was logged. Whether an IMU that reads gravity positive has its z up by
    /// convention or hangs upside down, no log tells.</summary>
    private static string[] Upright(ImuAssembly? imu) =>
        imu?.Track.ZPointsUp switch
        {
            true => ["gravity reads positive on z: z points up, or the IMU is mounted upside down"],
            false => ["gravity reads negative on z: z points down"],
            null => [],
        };

    /// <summary>Whether the IMU was recorded some hundred milliseconds at a time, in even turns.</summary>
    private static string[] Bursts(ImuAssembly? imu)
    {
        const int LeastBursts = 8;
        const double LongestS = 5,
            Even = 0.1;
        if (imu is null || imu.Track.Blocks.Count < LeastBursts)
        {
            return [];
        }

        double[] lengthS = [.. imu.Track.Blocks.Select(b => b.SampleCount * b.PeriodS)];
        double[] everyS = [.. imu.Track.Blocks.Zip(imu.Track.Blocks.Skip(1), (a, b) => b.TimeOf(b.FirstSample) - a.TimeOf(a.FirstSample))];
        double burstS = ColumnMedian.Of(lengthS),
            turnS = ColumnMedian.Of(everyS);
        int even = everyS.Count(s => Math.Abs(s / turnS - 1) < Even);
        return burstS < LongestS && even > 0.8 * everyS.Length
            ?
            [
                string.Create(
                    System.Globalization.CultureInfo.InvariantCulture,
                    $"recorded in {lengthS.Length} bursts of {burstS:0.00} s, one every {turnS:0.00} s"
                ),
            ]
            : [];
    }

    private static ColumnRecord Column(ScaledTable file, PlannedColumn column)
    {
        if (column.Channel is null || !column.Used)
        {
            string? taken = column.Channel is null ? null : $"{column.Channel.Show(column.MotorId)} (not used: {column.NotUsedWhy})";
            return new(Columns.HeaderWords.Plain(column.Header), null, column.Unit?.Symbol, taken is null ? null : taken, null, null, 0);
        }

        var count = file.Rows.Counts[column.Index];
        double share = file.Rows.Seen == 0 ? 0 : (double)count.Filled / file.Rows.Seen;
        bool stamps = column.Channel.Quantity == Quantity.Time;
        (double Min, double Max)? range =
            stamps && file.TimeS.Length > 0 ? (file.OriginOrZero + file.FirstTimeS, file.OriginOrZero + file.LastTimeS) : column.Range;
        string channel = column.Channel.Show(
            column.MotorId ?? (column.Channel.IsMotor && column.Channel.NamesMotor ? column.Channel.MotorName : null)
        );
        string? unit =
            stamps && file.Plan.TimeIsText
                ? file.StartedUtc.HasValue
                    ? "date and time"
                    : "hh:mm:ss"
                : column.Unit?.Symbol;
        return new(Columns.HeaderWords.Plain(column.Header), channel, unit, column.HowKnown, range?.Min, range?.Max, share);
    }

    /// <summary>Rows a second with telemetry: by the usual step between different times; null with fewer than two.</summary>
    /// <summary>Reports a second: of one motor, where each row is of one, because the rows of a round follow closely on each other.</summary>
    private static double? TelemetryRate(ScaledTable file)
    {
        double step = file.Plan.MotorId is { } id ? StepOfOneMotor(file, file.Values(id)) : Clocks.StampCleaner.UsualStep(file.TimeS);
        return step > 0 ? 1 / step : null;
    }

    private static double StepOfOneMotor(ScaledTable file, SparseColumn labels)
    {
        var timesS = new Dictionary<double, List<double>>();
        for (int i = 0; i < labels.Count; i++)
        {
            if (!timesS.TryGetValue(labels.Values[i], out List<double>? ofMotor))
            {
                timesS[labels.Values[i]] = ofMotor = [];
            }

            ofMotor.Add(file.TimeS[labels.Rows[i]]);
        }

        return ColumnMedian.Of([
            .. timesS.Values.Select(t => Clocks.StampCleaner.UsualStep([.. t])).Where(step => step > 0).DefaultIfEmpty(0),
        ]);
    }

    private static List<TimeInterval> TelemetryGaps(ScaledTable file, double? rateHz)
    {
        var gaps = new List<TimeInterval>();
        if (rateHz is null)
        {
            return gaps;
        }

        double longest = Math.Max(5 / rateHz.Value, 0.5),
            before = double.NaN;
        foreach (double time in file.TimeS)
        {
            if (time - before > longest && gaps.Count < 1000)
            {
                gaps.Add(new(before, time));
            }

            before = double.IsNaN(time) ? before : time;
        }

        return gaps;
    }
}
