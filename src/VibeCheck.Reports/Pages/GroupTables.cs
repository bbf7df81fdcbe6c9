using VibeCheck.Core.Comparisons;
using VibeCheck.Core.Flights;
using VibeCheck.Core.Orders.Group;
using VibeCheck.Core.Statistics;
using VibeCheck.Reports.Formatting;
using VibeCheck.Reports.Html;
using VibeCheck.Reports.Text;

namespace VibeCheck.Reports.Pages;

/// <summary>Orders of the rotors together, for flights whose log lacks rotor speeds.</summary>
internal static class GroupTables
{
    private const string Lead =
        "The log has no rotor speeds, so the rotors are measured together: their common speed is followed in the vibration itself, "
        + "and each order is that of all rotors. Which motor makes which share is not known.";

    /// <summary>The orders of one flight; empty where the group has none.</summary>
    internal static Markup Of(FlightAnalysis flight) =>
        flight.Group is { Orders.Count: > 0 } group
            ? Markup.Of(
                $"<p>{NoBreakSpaces.Insert(Lead)}</p>\n<p>{Speed(group)}"
                    + $"</p>\n{Table.Of(["Order", "#Size, m/s² rms", "#95 % interval"], group.Orders.Select(Row))}{Unknown(group)}"
            )
            : Markup.Empty;

    /// <summary>The first flight of each side, side by side; empty where one of them has no orders of a group.</summary>
    internal static Markup Of(Comparison comparison)
    {
        if (
            !comparison.VibrationIsOfGroup
            || comparison.Before[0].Group is not { Orders.Count: > 0 } before
            || comparison.After[0].Group is not { Orders.Count: > 0 } after
        )
        {
            return Markup.Empty;
        }

        var rows = before.Orders.Join(
            after.Orders,
            b => b.Order,
            a => a.Order,
            (b, a) => (IReadOnlyList<Markup>)[Name(b), Size(b.RmsMps2), Range(b.RmsMps2), Size(a.RmsMps2), Range(a.RmsMps2)]
        );
        Markup table = Table.Of(["Order", "#Before, m/s² rms", "#95 % interval", "#After, m/s² rms", "#95 % interval "], rows);
        return Markup.Of($"<p>{NoBreakSpaces.Insert(Lead)}</p>\n<p>Before: {Speed(before)} After: {Speed(after)}</p>\n{table}");
    }

    private static string Speed(GroupResult group) =>
        group.Rpm.Value is double rpm ? $"The rotors turn at about {Format.Number(rpm, 0)} rpm." : "The speed of the rotors is not known.";

    private static IReadOnlyList<Markup> Row(GroupOrder order) => [Name(order), Size(order.RmsMps2), Range(order.RmsMps2)];

    /// <summary>Why orders are not known, one line each; below the table, where there is room to read it.</summary>
    private static IEnumerable<Markup> Unknown(GroupResult group) =>
        group
            .Orders.Where(o => !o.RmsMps2.IsKnown)
            .Select(o =>
                Markup.Of(
                    $"<p class=\"soft\">×{Format.Whole(o.Order)} is not known: {NoBreakSpaces.Insert(ReasonText.Full(o.RmsMps2.Why!))}</p>\n"
                )
            );

    private static Markup Name(GroupOrder order) => Table.Text($"×{Format.Whole(order.Order)}");

    private static Markup Size(Estimate size) =>
        Table.Text(size.Value is double value ? Format.Number(value, Format.DecimalsFor(value)) : Format.NotKnown);

    private static Markup Range(Estimate size) =>
        Table.Text(size is { Value: double value, Ci95: Interval ci } ? Format.Range(ci, Format.DecimalsFor(value)) : "");
}
