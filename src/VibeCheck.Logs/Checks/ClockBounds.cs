using System.Globalization;
using VibeCheck.Core.Tracks;
using VibeCheck.Logs.Clocks;
using VibeCheck.Logs.Columns;
using VibeCheck.Logs.Inputs;
using VibeCheck.Logs.Tables;
using VibeCheck.Logs.Text;

namespace VibeCheck.Logs.Checks;

/// <summary>What the clock of a log can be: one flight at a rate that shows vibration. Anything else would cost memory and time without
/// end, and give no answer.</summary>
internal static class ClockBounds
{
    /// <summary>Slowest and fastest IMU, rows per second: common practice is 100 Hz to 32 kHz.</summary>
    internal const double LeastRateHz = 10,
        MostRateHz = 64_000;

    // Longer than any battery or tank lasts, and a pause after which it is another flight.
    private const double LongestS = 24 * 3600,
        LongestGapS = 3600;

    // Pauses may be ten times as long as what was recorded, and an hour more.
    private const double GapsPerRecorded = 10;
    private const double GapS = 10,
        GapSteps = 100;

    // A row by itself, that far from all others, has a wrong stamp.
    private const double LoneS = 60;

    /// <summary>The table, where its stamps, made to rise, are those of one flight; a lone first or last row far away is left
    /// out.</summary>
    /// <exception cref="InputFaultException">The stamps are not those of one flight.</exception>
    internal static TimedTable Checked(TimedTable table)
    {
        bool byMotor = table.Plan.MotorId is not null && !table.Plan.HasImu;
        double[] timeS = byMotor ? [.. table.TimeS.Where(t => !double.IsNaN(t)).Order()] : table.TimeS;
        double gapS = Math.Max(GapS, GapSteps * StampCleaner.UsualStep(timeS));
        if (!byMotor)
        {
            table = WithoutLoneEnds(table, gapS);
            timeS = table.TimeS;
        }

        var span = Span.Of(timeS, gapS);
        CheckSpan(table, span, byMotor);
        if (table.Plan.HasImu && span.Rows > 1)
        {
            int imus = table.Plan.ImuId is null ? 1 : Math.Max(1, table.Rows.Labels.Count);
            CheckRate(
                table.Rows,
                table.Plan,
                span.LengthS - span.GapsS <= 0 ? double.PositiveInfinity : (span.Rows - 1) / (span.LengthS - span.GapsS) / imus
            );
        }

        return table;
    }

    /// <summary>Refuses a rate of acceleration that no recorder of vibration has.</summary>
    /// <exception cref="InputFaultException">It is too low or too high.</exception>
    internal static void CheckRate(LogRows rows, ColumnPlan plan, double rateHz)
    {
        if (rateHz is >= LeastRateHz and <= MostRateHz)
        {
            return;
        }

        PlannedColumn? time = plan.Time;
        throw rows.Fault(
            rows.Form.HeaderLine,
            time?.Index + 1,
            double.IsFinite(rateHz)
                ? string.Create(
                    CultureInfo.InvariantCulture,
                    $"by its time the log has {rateHz:G3} rows of acceleration per second; {LeastRateHz} to {MostRateHz} can be used"
                )
                : "all rows have the same time",
            time is null
                ? "Give the rate with --rows-per-second."
                : "Say the unit of the time with --time-unit, or export the time of every row."
        );
    }

    private static void CheckSpan(TimedTable table, Span span, bool byMotor)
    {
        int? line = byMotor ? null : table.Rows.LineOf(span.WidestAt);
        if (span.WidestS > LongestGapS)
        {
            throw table.Rows.Fault(
                line,
                table.Plan.Time!.Index + 1,
                $"the time jumps ahead by {Length(span.WidestS)} here",
                "Give the log of one flight; if the clock was set during it, cut the log at this line and give one part."
            );
        }

        double recordedS = span.LengthS - span.GapsS;
        if (span.GapsS > LongestGapS + GapsPerRecorded * recordedS)
        {
            throw table.Rows.Fault(
                line,
                table.Plan.Time!.Index + 1,
                $"the rows cover {Length(recordedS)} of {Length(span.LengthS)}; the longest gap, {Length(span.WidestS)}, ends here",
                "Give the log of one flight without its pauses."
            );
        }

        if (span.LengthS > LongestS)
        {
            throw table.Rows.Fault(
                table.Rows.Form.HeaderLine,
                table.Plan.Time!.Index + 1,
                $"by its time the log is {Length(span.LengthS)} long",
                "Say the unit of the time with --time-unit, or give the log of one flight."
            );
        }
    }

    /// <summary>Leaves out the first or last row, where it stands far from all others.</summary>
    private static TimedTable WithoutLoneEnds(TimedTable table, double gapS)
    {
        double[] timeS = table.TimeS;
        int[] ends = Ends(timeS);
        (int At, int Next)[] pairs = ends.Length < 4 ? [] : [(ends[0], ends[1]), (ends[3], ends[2])];
        (int At, double ApartS)[] lone =
        [
            .. pairs.Select(p => (p.At, ApartS: Math.Abs(timeS[p.At] - timeS[p.Next]))).Where(p => p.ApartS > Math.Max(LoneS, gapS)),
        ];
        if (lone.Length == 0)
        {
            return table;
        }

        double[] kept = [.. timeS];
        foreach ((int at, _) in lone)
        {
            kept[at] = double.NaN;
        }

        return table with
        {
            TimeS = kept,
            Warnings = [.. table.Warnings, .. lone.Select(l => Far(table.Rows.LineOf(l.At), l.ApartS))],
        };
    }

    private static Warning Far(int line, double apartS) =>
        new(
            "stamp-far",
            string.Create(CultureInfo.InvariantCulture, $"Line {line} stands {Length(apartS)} from all other rows and was left out.")
        );

    /// <summary>The first two and the last two rows with a time; fewer than four where there are not so many.</summary>
    private static int[] Ends(double[] timeS)
    {
        var ends = new List<int>(4);
        for (int i = 0; i < timeS.Length && ends.Count < 2; i++)
        {
            if (!double.IsNaN(timeS[i]))
            {
                ends.Add(i);
            }
        }

        for (int i = timeS.Length - 1, found = 0; i > (ends.Count < 2 ? timeS.Length : ends[1]) && found < 2; i--)
        {
            if (!double.IsNaN(timeS[i]))
            {
                ends.Insert(2, i);
                found++;
            }
        }

        return [.. ends];
    }

    private static string Length(double seconds) =>
        string.Create(
            CultureInfo.InvariantCulture,
            $"{seconds switch
    {
        < 120 => seconds,
        < 7200 => seconds / 60,
        < 172_800 => seconds / 3600,
        _ => seconds / 86_400,
    }:0.#} {seconds switch { < 120 => "s", < 7200 => "minutes", < 172_800 => "hours", _ => "days" }}"
        );

    /// <summary>How long a log is, and how much of that is gaps.</summary>
    private readonly record struct Span(int Rows, double LengthS, double GapsS, double WidestS, int WidestAt)
    {
        internal static Span Of(double[] timeS, double gapS)
        {
            double first = double.NaN,
                before = double.NaN,
                gaps = 0,
                widest = 0;
            int rows = 0,
                at = 0;
            for (int i = 0; i < timeS.Length; i++)
            {
                double time = timeS[i];
                if (double.IsNaN(time))
                {
                    continue;
                }

                double step = rows > 0 ? time - before : 0;
                gaps += step > gapS ? step : 0;
                (widest, at) = step > widest ? (step, i) : (widest, at);
                (first, before) = (rows > 0 ? first : time, time);
                rows++;
            }

            return new(rows, rows > 0 ? before - first : 0, gaps, widest, at);
        }
    }
}
