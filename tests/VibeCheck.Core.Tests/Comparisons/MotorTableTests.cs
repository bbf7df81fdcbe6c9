using System.Globalization;
using Microsoft.Data.Analysis;
using VibeCheck.Core.Comparisons;

namespace VibeCheck.Core.Tests.Comparisons;

public class MotorTableTests
{
    private static readonly Comparison Made = MadeFlights.Compare(
        new MadeFlights { Order1 = [0.3, 0.4, 0.5, 0.6, 0.7, 0.8] },
        new MadeFlights(),
        new(
            [MadeFlights.Survey([0.4, 0.1, 0.5], null).AsFound[2], MadeFlights.Survey([0.4, 0.1], null).AsFound[0]],
            MadeFlights.Survey([0.1], null).AsFound
        )
    );

    [Fact]
    public void Flights_and_survey_are_joined_on_the_motor_in_the_airframes_order()
    {
        DataFrame table = MotorTable.Of(Made);
        Assert.Equal(["M1", "M2", "M3", "M4", "M5", "M6"], ((StringDataFrameColumn)table["motor"]).ToArray());
        Assert.Equal(
            [0.3, 0.4, 0.5, 0.6, 0.7, 0.8],
            ((DoubleDataFrameColumn)table["order1_mps2_before"]).Select(v => Math.Round(v!.Value, 9))
        );
        Assert.Equal([0.4, null, 0.5, null, null, null], ((DoubleDataFrameColumn)table["tilt_deg_before"]).ToArray());
        Assert.Equal([0.1, null, null, null, null, null], ((DoubleDataFrameColumn)table["tilt_deg_after"]).ToArray());
        Assert.Equal(0.1 - 0.4, ((DoubleDataFrameColumn)table["tilt_change_deg"])[0]!.Value, tolerance: 1e-12);
    }

    [Fact]
    public void Csv_has_a_line_a_motor_and_leaves_the_unknown_empty()
    {
        string[] lines = MotorTable.ToCsv(Made).Split('\n', StringSplitOptions.RemoveEmptyEntries | StringSplitOptions.TrimEntries);
        Assert.Equal(7, lines.Length);
        Assert.StartsWith("motor,rpm_before,load_share_before,current_a_before,order1_mps2_before", lines[0], StringComparison.Ordinal);
        string[] headers = lines[0].Split(','),
            second = lines[2].Split(',');
        Assert.Equal("", second[Array.IndexOf(headers, "tilt_deg_before")]);
        Assert.Equal("3400", second[Array.IndexOf(headers, "rpm_before")]);
    }

    // Without a survey the table must still be written, with empty tilts.
    [Fact]
    public void Orders_of_the_table_and_its_changes_have_their_own_names()
    {
        MadeFlights after = new()
        {
            Order1 = [1, 0.45, 0.6, 0.48, 0.55, 0.42],
            Order2 = [2, 0.5, 0.5, 0.5, 0.5, 0.5],
            MotorRiseC = [30, 26, 28, 26, 27, 26],
            EscRiseC = [14, 17, 18, 17, 18, 17],
        };
        string[] lines = MotorTable
            .ToCsv(MadeFlights.Compare(new(), after))
            .Split('\n', StringSplitOptions.RemoveEmptyEntries | StringSplitOptions.TrimEntries);
        Dictionary<string, double> first = lines[0]
            .Split(',')
            .Zip(lines[1].Split(','))
            .Where(c => c.First != "motor" && c.Second.Length > 0)
            .ToDictionary(c => c.First, c => double.Parse(c.Second, CultureInfo.InvariantCulture));
        (string Name, double Value)[] expected =
        [
            ("order1_mps2_before", 0.5),
            ("order1_mps2_after", 1),
            ("order2_mps2_before", 0.5),
            ("order2_mps2_after", 2),
            ("order1_change_db", 20 * Math.Log10(2)),
            ("order2_change_db", 20 * Math.Log10(4)),
            ("motor_rise_c_before", 27),
            ("motor_rise_c_after", 30),
            ("motor_rise_change_c", 3),
            ("esc_rise_c_before", 18),
            ("esc_rise_c_after", 14),
            ("esc_rise_change_c", -4),
            ("rpm_after", 3400),
            ("load_share_after", 1),
            ("current_a_after", 6.5),
        ];
        Assert.Equal(7, lines.Length);
        Assert.Contains("tilt_deg_before", lines[0], StringComparison.Ordinal);
        Assert.DoesNotContain("tilt_change_deg", first.Keys);
        Assert.All(expected, e => Assert.Equal(e.Value, first[e.Name], tolerance: 1e-6));
    }
}
