using VibeCheck.Core.Airframes;

namespace VibeCheck.FlightMaker.Damage.Job;

/// <summary>The wrong flight, part of a flight, several flights in one log, or flights in the wrong order.</summary>
internal static class FlightMixups
{
    private const string BothSides = "the airframe is the same on both sides, so it damages neither against the other";

    internal static IReadOnlyList<DamageKind> Kinds { get; } =
    [
        DamageKind.Of("the same files on both sides", Answers.All, s => s.Flight = s.OtherSide.Copy()),
        DamageKind.Of(
            "the same flight on both sides, written anew with fewer digits",
            Answers.All,
            s =>
            {
                s.Flight = s.OtherSide.Copy();
                DamageScene.Each(s.Imu.Acceleration, v => Math.Round(v, 2));
            }
        ),
        DamageKind.Of("the same flight on both sides, clock moved", Answers.All, ClockMoved),
        DamageKind.Of("the same flight on both sides, one with a little noise", Answers.All, Noisier),
        DamageKind.Of(
            "the end of the same flight on the other side",
            Answers.All,
            s =>
            {
                s.Flight = s.OtherSide.Copy();
                Cut(s.Flight, 0.4, 1);
            }
        ),
        DamageKind.Of(
            "the start of the same flight on the other side",
            Answers.All,
            s =>
            {
                s.Flight = s.OtherSide.Copy();
                Cut(s.Flight, 0, 0.6);
            }
        ),
        DamageKind.Of(
            "the same flight on both sides, resampled",
            Answers.All,
            s =>
            {
                s.Flight = s.OtherSide.Copy();
                Resampled(s.Flight);
            }
        ),
        DamageKind.Of(
            "both flights of the job in one file",
            Answers.All,
            "s between",
            [0.5, 20],
            s => Merge(s, s.OtherSide, restart: false)
        ),
        DamageKind.Of("both flights of the job in one file, clock starts again", Answers.All, s => Merge(s, s.OtherSide, restart: true)),
        DamageKind.Of(
            "a flight of another aircraft appended",
            Answers.All,
            "s between",
            [0.5, 20],
            s => Merge(s, s.OtherJob, restart: false)
        ),
        DamageKind.Of("rows of two flights interleaved", Answers.All, Interleaved),
        DamageKind.Of("the flight of another aircraft", Answers.All, Foreign),
        DamageKind.Of("the log ends early", Answers.None, "of the flight", [0.15, 0.3, 0.5, 0.8], s => Cut(s.Flight, 0, s.Severity)),
        DamageKind.Of("the log begins late", Answers.None, "of the flight", [0.15, 0.4, 0.8], s => Cut(s.Flight, s.Severity, 1)),
        DamageKind.Of(
            "the IMU file ends early",
            Answers.None,
            "of the flight",
            [0.15, 0.3, 0.6],
            s => s.Flight.ChangeImu(i => i.Take([.. Enumerable.Range(0, (int)(s.Severity * i.Rows))]))
        ),
        DamageKind.Of("stages in the wrong order, dates right", Answers.All, s => s.StagesInWrongOrder = true),
        DamageKind.Of(
            "airframe file with other pole pairs",
            Answers.Vibration,
            s => s.Airframe = Changed(s.Airframe, m => m with { PolePairs = 7 })
        ),
        DamageKind
            .Of(
                "airframe file with other blades",
                Answers.None,
                s => s.Airframe = Changed(s.Airframe, m => m with { Blades = m.Blades == 2 ? 3 : 2 })
            )
            .Hide(BothSides),
        DamageKind.Of(
            "airframe file with a motor less",
            Answers.All,
            s => s.Airframe = s.Airframe with { Motors = [.. s.Airframe.Motors.Take(s.Airframe.Motors.Count - 1)] }
        ),
    ];

    private static void ClockMoved(DamageScene s)
    {
        s.Flight = s.OtherSide.Copy();
        s.Imu.Stamp((_, t) => t + 1000);
        s.Flight.Esc?.Stamp((_, t) => t + 1000);
    }

    private static void Noisier(DamageScene s)
    {
        s.Flight = s.OtherSide.Copy();
        DamageScene.Each(s.Imu.Acceleration, v => v + s.Flight.Form.AccPerMps2 * 0.05 * s.Normal());
    }

    private static void Cut(FlightSheets flight, double from, double to)
    {
        foreach (LogSheet? sheet in new[] { flight.Imu, flight.Esc })
        {
            sheet?.Take([.. Enumerable.Range((int)(from * sheet.Rows), (int)((to - from) * sheet.Rows))]);
        }
    }

    private static void Resampled(FlightSheets flight) =>
        flight.ChangeImu(imu =>
        {
            foreach (LogColumn column in imu.Columns)
            {
                double[] x = column.Values;
                column.Values = [.. Enumerable.Range(0, x.Length - 1).Select(i => 0.7 * x[i] + 0.3 * x[i + 1])];
            }
        });

    private static void Merge(DamageScene s, FlightSheets other, bool restart)
    {
        double last = s.Imu.TimesS()[^1],
            first = other.Imu.TimesS()[0];
        double shift = restart ? 0 : last - first + s.Severity;
        Append(s.Imu, other.Imu, shift);
        if (!s.Flight.OneFile)
        {
            double own = s.Flight.Esc!.TimesS()[0],
                theirs = other.EscReports().TimesS()[0];
            double offset = own - s.Imu.TimesS()[0],
                otherOffset = theirs - first;
            Append(s.Flight.Esc, other.EscReports(), shift + offset - otherOffset);
        }
    }

    private static void Append(LogSheet to, LogSheet from, double shiftS)
    {
        foreach (LogColumn column in to.Columns)
        {
            LogColumn? other = from.Columns.FirstOrDefault(c => c.Role == column.Role && c.Motor == column.Motor);
            double shift = column.Role == LogRole.Time ? shiftS : 0;
            double Appended(int row) => other is null ? double.NaN : column.Written(other.Amount(other.Values[row]) + shift);
            column.Values = [.. column.Values, .. Enumerable.Range(0, from.Rows).Select(Appended)];
        }
    }

    private static void Interleaved(DamageScene s)
    {
        int rows = Math.Min(s.Imu.Rows, s.OtherSide.Imu.Rows);
        foreach (LogColumn column in s.Imu.Columns.Where(c => c.IsAcceleration || c.IsRate))
        {
            double[] other = s.OtherSide.Imu.Column(column.Role).Values;
            column.Map((v, i) => i % 2 == 1 && i < rows ? other[i] : v);
        }
    }

    private static void Foreign(DamageScene s)
    {
        if (ReferenceEquals(s.OtherJob, s.OtherSide))
        {
            s.Flight.ChangeEsc(e => DamageScene.Each(e.All(LogRole.Rpm), v => 1.2 * v));
            return;
        }

        s.Flight = s.OtherJob.Copy();
    }

    private static Airframe Changed(Airframe airframe, Func<Motor, Motor> change) =>
        airframe with
        {
            Motors = [.. airframe.Motors.Select(change)],
        };
}
