using System.Globalization;
using VibeCheck.Core.Tracks;
using VibeCheck.Logs.Inputs;
using VibeCheck.Logs.Text;

namespace VibeCheck.Logs.Columns;

/// <summary>Chooses the IMU of a log, and the columns of its axes.</summary>
internal sealed class ImuColumnChoice
{
    private readonly IReadOnlyList<ColumnDraft> _columns;
    private readonly ColumnDraft?[] _acceleration = new ColumnDraft?[3];
    private readonly ColumnDraft?[] _rates = new ColumnDraft?[3];

    private ImuColumnChoice(IReadOnlyList<ColumnDraft> columns) => _columns = columns;

    /// <summary>Acceleration x, y, z; null where missing.</summary>
    internal IReadOnlyList<ColumnDraft?> Acceleration => _acceleration;

    /// <summary>Rates about x, y, z: all three or none.</summary>
    internal IReadOnlyList<ColumnDraft?> Rates => _rates;

    /// <summary>No columns.</summary>
    internal static ImuColumnChoice None { get; } = new([]);

    /// <summary>Marks the columns of the IMU as used, and records for the others why they are not.</summary>
    /// <param name="columns">All columns.</param>
    /// <param name="options">Options that select the IMU.</param>
    /// <param name="isNamedByRow">Whether a column names the IMU of each row.</param>
    /// <param name="warnings">Receives a warning where there are several IMUs.</param>
    /// <param name="fault">Makes the fault of the header line from problem and remedy.</param>
    /// <exception cref="InputFaultException">The log does not have the requested IMU.</exception>
    internal static ImuColumnChoice Choose(
        IReadOnlyList<ColumnDraft> columns,
        ReadOptions options,
        bool isNamedByRow,
        List<Warning> warnings,
        Func<string, string, InputFaultException> fault
    )
    {
        int?[] units =
        [
            .. columns
                .Where(c => c.Channel?.Quantity == Quantity.Acceleration)
                .Select(c => c.Channel!.ImuNumber)
                .Distinct()
                .OrderBy(n => n ?? -1),
        ];
        var choice = new ImuColumnChoice(columns);
        if (units.Length == 0)
        {
            return choice;
        }

        if (!isNamedByRow && options.ImuUnit > units.Length)
        {
            throw fault($"IMU {options.ImuUnit} was asked for, but the log has {units.Length}", "Ask for one that is there (--imu-unit).");
        }

        if (units.Length > 1)
        {
            warnings.Add(
                new(
                    "several-imus",
                    string.Create(
                        CultureInfo.InvariantCulture,
                        $"The log has {units.Length} IMUs; number {options.ImuUnit} is used (--imu-unit takes another)."
                    )
                )
            );
        }

        choice.ChooseColumns(units[isNamedByRow ? 0 : options.ImuUnit - 1]);
        return choice;
    }

    private void ChooseColumns(int? unit)
    {
        ChooseAxes(Quantity.Acceleration, unit, _acceleration);
        ColumnDraft[] rates = [.. _columns.Where(c => c.Channel?.Quantity == Quantity.Rate)];
        int? rateUnit = rates.Any(c => c.Channel!.ImuNumber == unit) ? unit : rates.FirstOrDefault()?.Channel!.ImuNumber;
        ChooseAxes(Quantity.Rate, rateUnit, _rates);
        if (_rates.All(r => r is not null))
        {
            return;
        }

        foreach (ColumnDraft rate in _rates.OfType<ColumnDraft>())
        {
            (rate.Used, rate.NotUsedWhy) = (false, "not all three axes are there");
        }

        Array.Clear(_rates);
    }

    private void ChooseAxes(Quantity quantity, int? unit, ColumnDraft?[] axes)
    {
        for (int axis = 0; axis < 3; axis++)
        {
            List<ColumnDraft> candidates =
            [
                .. _columns
                    .Where(c => c.Channel is { } ch && ch.Quantity == quantity && ch.Axis == axis && ch.ImuNumber == unit)
                    .OrderByDescending(c => c.HowKnown == "columns file")
                    .ThenByDescending(c => c.Channel!.Rank)
                    .ThenByDescending(c => c.Unit is not null),
            ];
            axes[axis] = candidates.FirstOrDefault();
            foreach (ColumnDraft other in candidates.Skip(1))
            {
                other.NotUsedWhy = $"'{CellText.Cut(candidates[0].Header)}' is used for it";
            }

            if (candidates.Count > 0)
            {
                candidates[0].Used = true;
            }
        }

        foreach (ColumnDraft other in _columns.Where(c => c.Channel?.Quantity == quantity && !c.Used))
        {
            other.NotUsedWhy ??= "another IMU is used";
        }
    }
}
