using VibeCheck.Core.Airframes;
using VibeCheck.Reports.Formatting;
using VibeCheck.Reports.Tables;
using VibeCheck.Reports.Text;

namespace VibeCheck.Reports.Console;

/// <summary>An airframe as lines of text, seen from above with the nose up, with a table of its motors and the bolts of a mount.</summary>
/// <param name="output">Where the lines go.</param>
/// <param name="width">Columns to keep within, 45 or more.</param>
/// <param name="inch">Whether lengths are in inches instead of millimetres.</param>
public sealed class AirframeSketch(TextWriter output, int width, bool inch)
{
    private const int MostColumns = 49;
    private const double MmPerInch = 25.4;

    /// <summary>Writes the drawing and what the file says about motors and bolts.</summary>
    public void Write(Airframe airframe)
    {
        ArgumentNullException.ThrowIfNull(airframe);
        output.WriteLine($"{airframe.Name}, seen from above");
        output.WriteLine();
        foreach (string line in Plan(airframe, Math.Clamp(width - 4, 41, MostColumns)))
        {
            output.WriteLine(("  " + line).TrimEnd());
        }

        output.WriteLine();
        Motors(airframe);
        foreach (
            IGrouping<BoltPattern, Motor> same in airframe
                .Motors.Where(m => airframe.BoltsOf(m) is not null)
                .GroupBy(m => airframe.BoltsOf(m)!)
        )
        {
            Bolts(same.Key, same.Count() == airframe.Motors.Count ? "every motor" : Grammar.List([.. same.Select(m => m.Id)]));
        }
    }

    /// <summary>The plan: the hub, dotted arms, and each motor's id with its direction of rotation.</summary>
    internal static IReadOnlyList<string> Plan(Airframe airframe, int columns)
    {
        columns |= 1;
        int rows = (columns / 2) | 1;
        char[][] canvas = [.. Enumerable.Range(0, rows).Select(_ => new string(' ', columns).ToCharArray())];
        double reach = airframe.Motors.Max(m => m.ArmM);
        int middle = columns / 2,
            centre = rows / 2,
            outX = middle - 6,
            outY = centre - 1;
        var arms = airframe.Motors.GroupBy(m => (Math.Round(m.AzimuthDeg % 360, 1), Math.Round(m.ArmM, 3))).ToArray();
        foreach (var arm in arms)
        {
            (double x, double y) = At(arm.First());
            int steps = Math.Max(1, (int)(2 * Math.Max(Math.Abs(x), Math.Abs(y))));
            for (int i = 2; i < steps; i++)
            {
                Put(canvas, middle + (int)Math.Round(x * i / steps), centre + (int)Math.Round(y * i / steps), "·");
            }
        }

        foreach (var arm in arms)
        {
            (double x, double y) = At(arm.First());
            Motor[] motors = [.. arm.OrderBy(m => m.Level)];
            for (int i = 0; i < motors.Length; i++)
            {
                Put(
                    canvas,
                    middle + (int)Math.Round(x),
                    centre + (int)Math.Round(y) + i - (motors.Length > 1 && y < 0 ? 1 : 0),
                    $"{motors[i].Id} {motors[i].Spin.Word()}"
                );
            }
        }

        Put(canvas, middle, centre, "(+)");
        return
        [
            "".PadLeft(middle - 2) + "^ nose",
            .. canvas
                .Select(line => new string(line).TrimEnd())
                .SkipWhile(l => l.Length == 0)
                .Reverse()
                .SkipWhile(l => l.Length == 0)
                .Reverse(),
        ];

        (double X, double Y) At(Motor m)
        {
            (double sin, double cos) = Math.SinCos(double.DegreesToRadians(m.AzimuthDeg));
            return (outX * m.ArmM / reach * sin, -outY * m.ArmM / reach * cos);
        }
    }

    private void Motors(Airframe airframe)
    {
        TextTable table = new([
            new("motor"),
            new("from nose", IsRight: true),
            new(inch ? "arm, in" : "arm, mm", 8, IsRight: true),
            new("spin"),
            new("level"),
        ]);
        foreach (Motor m in Clockwise.Sorted(airframe.Motors, airframe, m => m.Id))
        {
            string arm = inch ? Format.Number(m.ArmM * 1000 / MmPerInch, 2) : Format.Number(m.ArmM * 1000, 0);
            string level = m.Level == MotorLevel.Single ? "" : m.Level.ToString().ToLowerInvariant();
            table.Add(m.Id, Format.Number(m.AzimuthDeg, 1) + "°", arm, m.Spin.Word(), level);
        }

        table.Write(output);
    }

    private void Bolts(BoltPattern bolts, string whose)
    {
        output.WriteLine();
        output.WriteLine($"Bolts of {whose}, seen from above");
        foreach (string line in BoltSketch.Lines(bolts, bolt => bolt.Place, fromBelow: false))
        {
            output.WriteLine(line);
        }

        string words =
            ShimPlanText.TwoDistances(bolts, inch)
            ?? (
                bolts.OppositePairs.Count == 2 && bolts.Bolts.All(b => b.Place.Contains('-', StringComparison.Ordinal))
                    ? Size(bolts.AcrossSpanMm) + " across and along the arm"
                    : ""
            );
        if (words.Length > 0)
        {
            output.WriteLine();
            foreach (string part in words.Split(", "))
            {
                output.WriteLine("  " + part);
            }
        }
    }

    private string Size(double mm) =>
        inch ? $"{Format.Number(mm / MmPerInch, 3)} in" : $"{mm.ToString("0.##", System.Globalization.CultureInfo.InvariantCulture)} mm";

    private static void Put(char[][] canvas, int column, int row, string text)
    {
        if (row < 0 || row >= canvas.Length)
        {
            return;
        }

        int from = Math.Clamp(column - text.Length / 2, 0, Math.Max(0, canvas[row].Length - text.Length));
        for (int i = 0; i < text.Length && from + i < canvas[row].Length; i++)
        {
            canvas[row][from + i] = text[i];
        }
    }
}
