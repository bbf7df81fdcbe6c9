using System.Globalization;
using VibeCheck.Core.Airframes;
using VibeCheck.Core.Tracks;
using VibeCheck.Logs.Columns;
using VibeCheck.Logs.Tables;
using VibeCheck.Logs.Text;

namespace VibeCheck.Logs.Flights;

/// <summary>The columns of a log with the motors that they belong to.</summary>
/// <param name="Plan">The columns.</param>
/// <param name="Names">Which motor a name in the rows means.</param>
/// <param name="Phrases">How names were taken, for people.</param>
/// <param name="Warnings">What is in doubt.</param>
internal sealed record NamedMotors(ColumnPlan Plan, MotorNames Names, IReadOnlyList<string> Phrases, IReadOnlyList<Warning> Warnings)
{
    internal static NamedMotors Of(ColumnPlan plan, LogRows rows, Airframe? airframe)
    {
        List<int> numbers = [.. plan.MotorColumns.Where(c => c.Channel!.MotorNumber.HasValue).Select(c => c.Channel!.MotorNumber!.Value)];
        var phrases = new List<string>();
        if (plan.MotorId is not null)
        {
            numbers.AddRange(rows.Labels.Select(MotorNames.LoneNumber).Where(n => n.HasValue).Select(n => n!.Value));
            phrases.Add("one row a motor and time");
        }

        var names = new MotorNames(airframe, numbers);
        if (names.NumberingPhrase is { } phrase)
        {
            phrases.Add(phrase);
        }

        ColumnPlan named = plan.With(plan.MotorColumns.Select(c => c with { MotorId = MotorOf(c, names) }));
        return new(named, names, phrases, [.. Doubts(named)]);
    }

    /// <summary>The table without columns of which the airframe has no motor.</summary>
    internal static ScaledTable WithoutUnknown(ScaledTable table)
    {
        PlannedColumn[] unknown =
        [
            .. table.SparseColumns.Where(c =>
                c.Channel!.IsMotor && c.MotorId is null && !(table.Plan.MotorId is not null && c.IsNamedByRow)
            ),
        ];
        return unknown.Length == 0
            ? table
            : table with
            {
                Plan = table.Plan.With(unknown.Select(c => c.LeftOut("the airframe has no such motor"))),
                UnknownMotors = [.. unknown.Select(c => CellText.Cut(c.Header))],
            };
    }

    private static string? MotorOf(PlannedColumn column, MotorNames names)
    {
        if (column.SaidMotor is { } said)
        {
            return names.OfText(said);
        }

        Channel channel = column.Channel!;
        return names.InHeader(column.Header)
            ?? (
                channel.MotorNumber is { } number ? names.OfNumber(number)
                : channel.MotorName is { } name ? names.OfText(name)
                : null
            );
    }

    private static IEnumerable<Warning> Doubts(ColumnPlan plan)
    {
        const int MostNamed = 4;
        foreach (IGrouping<string, PlannedColumn> doubt in plan.MotorColumns.Where(c => InDoubt(plan, c)).GroupBy(c => c.Channel!.Doubt!))
        {
            string[] headers = [.. doubt.Select(c => $"'{CellText.Cut(c.Header)}'")];
            string more =
                headers.Length > MostNamed ? string.Create(CultureInfo.InvariantCulture, $" and {headers.Length - MostNamed} more") : "";
            yield return new(
                "meaning-unsure",
                $"{string.Join(", ", headers.Take(MostNamed))}{more}: {doubt.Key}. A columns file settles it."
            );
        }
    }

    /// <summary>A bare "temp" is the motor's for sure where the ESC has a temperature of its own.</summary>
    private static bool InDoubt(ColumnPlan plan, PlannedColumn column) =>
        column.Channel!.Doubt is not null
        && column.HowKnown != "columns file"
        && !(
            column.Channel.Quantity == Quantity.MotorTemp
            && plan.MotorColumns.Any(c => c.MotorId == column.MotorId && c.Channel!.Quantity == Quantity.EscTemp)
        );
}
