using System.Globalization;
using VibeCheck.Logs.Columns;

namespace VibeCheck.Logs.Forms;

/// <summary>Whether the commas of a log are decimal marks or thousands separators: <c>3,245</c> alone may be 3.245 or 3245.</summary>
/// <param name="IsDecimal">True for decimal marks, false for thousands separators, null where both are possible.</param>
/// <param name="Row">Where both are possible, the row of the example, from 0.</param>
/// <param name="Column">Its column, from 0.</param>
/// <param name="Cell">The text of the cell.</param>
internal sealed record CommaUse(bool? IsDecimal, int Row = -1, int Column = -1, string Cell = "")
{
    /// <summary>No rotor flies at a speed below this, rpm: a speed of 3.245 rpm is 3245 rpm.</summary>
    private const double LeastRpm = 100;

    /// <summary>Decides from all rows together: one column that can be read in only one way decides for the file. Temperatures, currents
    /// and voltages of 1000 and more (°C, A, V) do not occur on these aircraft, so their commas are decimal marks.</summary>
    /// <param name="headers">Headers, which show what a column holds.</param>
    /// <param name="rows">First rows of the log, cell by cell.</param>
    internal static CommaUse Of(IReadOnlyList<string> headers, IReadOnlyList<string[]> rows)
    {
        string[][] columns = [.. Enumerable.Range(0, headers.Count).Select(i => Numbers(rows, i))];
        bool? decided =
            columns.Select(OfFigures).FirstOrDefault(d => d is not null)
            ?? columns.Select((c, i) => OfQuantity(headers[i], c)).FirstOrDefault(d => d is not null);
        int column = Array.FindIndex(columns, c => c.Length > 0);
        if (decided is not null || column < 0 || rows.Any(r => r.Any(IsLongWhole)))
        {
            // A writer who has 3245 without a comma elsewhere uses no thousands separators.
            return new(decided ?? true);
        }

        int row = Enumerable.Range(0, rows.Count).First(r => column < rows[r].Length && IsNumber(rows[r][column].Trim()));
        return new(null, row, column, rows[row][column].Trim());
    }

    private static string[] Numbers(IReadOnlyList<string[]> rows, int column) =>
        [.. rows.Where(r => column < r.Length).Select(r => r[column].Trim()).Where(IsNumber)];

    /// <summary>Digits with a comma; dates and words decide nothing.</summary>
    private static bool IsNumber(string cell) => cell.Contains(',') && cell.TrimStart('+', '-').All(x => char.IsAsciiDigit(x) || x == ',');

    private static bool? OfFigures(string[] numbers) =>
        numbers.Any(c => !IsGrouped(c)) ? true
        : numbers.Any(c => c.Count(x => x == ',') > 1) ? false
        : null;

    private static bool? OfQuantity(string header, string[] numbers)
    {
        if (numbers.Length == 0)
        {
            return null;
        }

        (Channel? channel, Unit? unit) = ChannelFinder.Find(header);
        return channel?.Quantity switch
        {
            Quantity.RotorSpeed when unit is null or { Kind: UnitKind.RotorSpeed, Factor: 1 } && numbers.All(c => Decimal(c) < LeastRpm) =>
                false,
            Quantity.MotorTemp or Quantity.EscTemp or Quantity.Ambient => true,
            Quantity.Current or Quantity.Voltage or Quantity.BatteryVoltage when unit is null or { Factor: 1 } => true,
            _ => null,
        };
    }

    private static double Decimal(string cell) => Math.Abs(double.Parse(cell.Replace(',', '.'), CultureInfo.InvariantCulture));

    private static bool IsLongWhole(string cell) =>
        cell.Trim().TrimStart('+', '-') is { Length: > 3 } digits && digits.All(char.IsAsciiDigit);

    /// <summary>One to three digits, the first no 0, then groups of three.</summary>
    private static bool IsGrouped(string cell)
    {
        string[] groups = cell.TrimStart('+', '-').Split(',');
        return groups[0].Length is >= 1 and <= 3 && groups[0][0] != '0' && groups.Skip(1).All(g => g.Length == 3);
    }
}
