using System.Globalization;
using System.Text;
using Microsoft.Data.Analysis;
using VibeCheck.Core.Airframes;

namespace VibeCheck.Core.Comparisons;

/// <summary>One row for each stage: each metric over the history of an airframe, and the call on the step to this stage. Unknown values are
/// empty.</summary>
public static class HistoryTable
{
    /// <summary>The table of a history, stages in order. Columns carry their units in their names.</summary>
    public static DataFrame Of(History history)
    {
        ArgumentNullException.ThrowIfNull(history);
        DataFrame table = new(
            Texts(history, "date", s => s.Date.ToString("yyyy-MM-dd", CultureInfo.InvariantCulture)),
            Texts(history, "stage", s => s.Name),
            Numbers(history, "flights", s => s.Flights.Count),
            Numbers(history, "vibration_mps2", s => s.VibrationMps2.Value),
            Numbers(history, "vibration_change_db", s => s.Step?.Vibration.Change.Value),
            Texts(history, "vibration_call", s => Text(s.Step?.Vibration.Kind)),
            Numbers(history, "hottest_motor_c", s => s.HottestMotorC.Value),
            Texts(history, "motor_call", s => Text(s.Step?.MotorTemperature.Kind)),
            Numbers(history, "hottest_esc_c", s => s.HottestEscC.Value),
            Texts(history, "esc_call", s => Text(s.Step?.EscTemperature.Kind)),
            Numbers(history, "motor_spread_c", s => s.MotorSpreadC.Value),
            Numbers(history, "split", s => s.Split.Value)
        );
        foreach (Motor motor in history.Airframe.Motors)
        {
            table.Columns.Add(Numbers(history, $"{motor.Id}_order1_mps2", s => MeanOrder1(s, motor.Id)));
        }

        return table;
    }

    /// <summary>The table as CSV text: comma, decimal point, one header line.</summary>
    public static string ToCsv(History history)
    {
        using var stream = new MemoryStream();
        DataFrame.SaveCsv(Of(history), stream, cultureInfo: CultureInfo.InvariantCulture);
        return Encoding.UTF8.GetString(stream.ToArray());
    }

    private static double? MeanOrder1(HistoryStage stage, string motor)
    {
        double[] known =
        [
            .. stage
                .Flights.Select(f => f.Motors.FirstOrDefault(m => m.Id == motor)?.Orders.FirstOrDefault(o => o.Order == 1)?.RmsMps2.Value)
                .OfType<double>(),
        ];
        return known.Length == 0 ? null : known.Average();
    }

    private static string? Text(CallKind? kind) =>
        kind switch
        {
            CallKind.Improved => "improved",
            CallKind.Worse => "worse",
            CallKind.NoClearChange => "no-clear-change",
            CallKind.Unknown => "unknown",
            _ => null,
        };

    private static StringDataFrameColumn Texts(History history, string name, Func<HistoryStage, string?> of) =>
        new(name, history.Stages.Select(of));

    private static DoubleDataFrameColumn Numbers(History history, string name, Func<HistoryStage, double?> of) =>
        new(name, history.Stages.Select(of));
}
