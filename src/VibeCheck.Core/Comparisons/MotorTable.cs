using System.Globalization;
using System.Text;
using Microsoft.Data.Analysis;

namespace VibeCheck.Core.Comparisons;

/// <summary>One row for each motor: flights before, survey and flights after side by side, joined by motor. Unknown values are
/// empty.</summary>
public static class MotorTable
{
    private const string Key = "motor";

    /// <summary>The table of a comparison, motors in the airframe's order. Columns carry their units in their names.</summary>
    public static DataFrame Of(Comparison comparison)
    {
        ArgumentNullException.ThrowIfNull(comparison);
        DataFrame before = Flights(
            comparison,
            "before",
            m => m.RpmBefore.Value,
            m => m.LoadShareBefore.Value,
            m => m.CurrentBeforeA.Value,
            o => o.BeforeMps2.Value,
            m => m.MotorTemp.Before,
            m => m.EscTemp.Before
        );
        DataFrame after = Flights(
            comparison,
            "after",
            m => m.RpmAfter.Value,
            m => m.LoadShareAfter.Value,
            m => m.CurrentAfterA.Value,
            o => o.AfterMps2.Value,
            m => m.MotorTemp.After,
            m => m.EscTemp.After
        );
        DataFrame joined = Join(Join(before, Surveyed(comparison)), after);
        foreach (int order in Orders(comparison))
        {
            string name = string.Create(CultureInfo.InvariantCulture, $"order{order}_change_db");
            joined.Columns.Add(Column(comparison, name, m => m.Orders.FirstOrDefault(o => o.Order == order)?.ChangeDb.Value));
        }

        joined.Columns.Add(Column(comparison, "motor_rise_change_c", m => m.MotorTemp.Change.Value));
        joined.Columns.Add(Column(comparison, "esc_rise_change_c", m => m.EscTemp.Change.Value));
        joined.Columns.Add(Column(comparison, "tilt_change_deg", m => TiltEffects.Taken(comparison.Survey, m.Id)));
        return joined;
    }

    /// <summary>The table as CSV text: comma, decimal point, one header line.</summary>
    public static string ToCsv(Comparison comparison)
    {
        using var stream = new MemoryStream();
        DataFrame.SaveCsv(Of(comparison), stream, cultureInfo: CultureInfo.InvariantCulture);
        return Encoding.UTF8.GetString(stream.ToArray());
    }

    private static DataFrame Flights(
        Comparison comparison,
        string side,
        Func<MotorComparison, double?> rpm,
        Func<MotorComparison, double?> share,
        Func<MotorComparison, double?> current,
        Func<OrderChange, double?> size,
        Func<MotorComparison, double?> motorRise,
        Func<MotorComparison, double?> escRise
    )
    {
        DataFrame table = new(
            new StringDataFrameColumn(Key, comparison.Motors.Select(m => m.Id)),
            Column(comparison, $"rpm_{side}", rpm),
            Column(comparison, $"load_share_{side}", share),
            Column(comparison, $"current_a_{side}", current)
        );
        foreach (int order in Orders(comparison))
        {
            string name = string.Create(CultureInfo.InvariantCulture, $"order{order}_mps2_{side}");
            table.Columns.Add(
                Column(comparison, name, m => m.Orders.FirstOrDefault(o => o.Order == order) is OrderChange o ? size(o) : null)
            );
        }

        table.Columns.Add(Column(comparison, $"motor_rise_c_{side}", motorRise));
        table.Columns.Add(Column(comparison, $"esc_rise_c_{side}", escRise));
        return table;
    }

    /// <summary>Tilts of all motors, empty where a motor was not read: a table without rows cannot be joined.</summary>
    private static DataFrame Surveyed(Comparison comparison) =>
        new(
            new StringDataFrameColumn(Key, comparison.Motors.Select(m => m.Id)),
            Column(comparison, "tilt_deg_before", m => comparison.Survey?.Found(m.Id)?.MagnitudeDeg),
            Column(comparison, "tilt_deg_after", m => comparison.Survey?.Left(m.Id)?.MagnitudeDeg)
        );

    private static int[] Orders(Comparison comparison) =>
        [.. comparison.Motors.SelectMany(m => m.Orders).Select(o => o.Order).Distinct().Order()];

    private static DoubleDataFrameColumn Column(Comparison comparison, string name, Func<MotorComparison, double?> of) =>
        new(name, comparison.Motors.Select(of));

    /// <summary>A left join keeps every motor and its order; the key of the right table is dropped.</summary>
    private static DataFrame Join(DataFrame left, DataFrame right)
    {
        DataFrame joined = left.Merge<string>(right, Key, Key, "", "_right", JoinAlgorithm.Left);
        joined.Columns.Remove(Key + "_right");
        return joined;
    }
}
