using VibeCheck.Logs.Inputs;
using VibeCheck.Logs.Text;

namespace VibeCheck.Logs.Columns;

/// <summary>Finds the channel and the unit of each column from the written sources: the header, the units row, the columns file and the
/// user's options. A later source overrides an earlier one.</summary>
internal sealed class ColumnNaming
{
    private readonly LogForm _form;
    private readonly ReadOptions _options;
    private readonly string _path;

    private readonly Dictionary<int, (int Rotor, Unit? Unit)> _numberedSpeeds;

    private ColumnNaming(LogForm form, ReadOptions options, string path) =>
        (_form, _options, _path, _numberedSpeeds) = (form, options, path, NumberedSpeeds.Of(form.Headers));

    /// <summary>All columns of a log in the order of the file; none is in use yet.</summary>
    /// <exception cref="InputFaultException">Header and units row contradict each other, or a channel or unit is unknown.</exception>
    internal static List<ColumnDraft> Of(LogForm form, ReadOptions options, string path)
    {
        var naming = new ColumnNaming(form, options, path);
        List<ColumnDraft> columns = [.. form.Headers.Select((_, index) => naming.Named(index))];
        naming.TakeUsersUnits(columns);
        return columns;
    }

    private ColumnDraft Named(int index)
    {
        var column = new ColumnDraft(index, _form.Headers[index]);
        (column.Channel, column.Unit) = _numberedSpeeds.TryGetValue(index, out (int Rotor, Unit? Unit) speed)
            ? (new(Quantity.RotorSpeed) { MotorNumber = speed.Rotor }, speed.Unit)
            : ChannelFinder.Find(column.Header);
        column.HowKnown = column.Channel is null ? null : "header";
        if (_form.UnitsRow is not null)
        {
            TakeUnitsRow(column, CellText.StripBrackets(_form.UnitsRow[index]));
        }

        if (_options.Columns?.Find(column.Header) is { } entry)
        {
            TakeEntry(column, entry);
        }

        return column;
    }

    private void TakeUnitsRow(ColumnDraft column, string text)
    {
        if (column.Channel is not null)
        {
            TakeUnit(column, UnitTable.Find(text, column.Channel.Quantity));
        }
        else if (UnitTable.Find(text).Count > 0)
        {
            // A header that is unclear alone may be clear together with its unit.
            (Channel? channel, Unit? unit) = ChannelFinder.Find($"{column.Header} [{text}]");
            (column.Channel, column.Unit, column.HowKnown) = (channel, unit, channel is null ? null : "units row");
        }
    }

    private void TakeUnit(ColumnDraft column, Unit? unit)
    {
        if (unit is null)
        {
            return;
        }

        if (column.Unit is not null && column.Unit != unit)
        {
            throw Fault(
                _form.HeaderLine,
                column.Index + 1,
                $"header '{CellText.Cut(column.Header)}' says {column.Unit.Symbol}, the units row says {unit.Symbol}",
                "Correct one of them, or say which is right in a columns file (vibecheck read --write-columns)."
            );
        }

        column.Unit = unit;
        column.HowKnown = "units row";
    }

    private void TakeEntry(ColumnDraft column, ColumnEntry entry)
    {
        column.HowKnown = "columns file";
        column.Scale = entry.Scale;
        column.SaidMotor = entry.Motor;
        column.Channel = EntryChannels.Parse(entry.Channel, entry.Motor, column.Channel);
        if (column.Channel is null && !entry.Channel.Equals("ignore", StringComparison.OrdinalIgnoreCase))
        {
            throw EntryFault(entry, $"'{CellText.Cut(entry.Channel)}' is not a channel", "Channels are: " + EntryChannels.All + ".");
        }

        if (entry.Unit is not null && column.Channel is not null)
        {
            column.Unit =
                UnitTable.Find(entry.Unit, column.Channel.Quantity)
                ?? throw EntryFault(
                    entry,
                    $"'{CellText.Cut(entry.Unit)}' is not a unit for {column.Channel.Show(entry.Motor)}",
                    "Write a unit such as g, deg/s, rpm, % or ms."
                );
        }
        else if (column.Channel is null || (column.Unit is not null && !UnitTable.Fits(column.Unit, column.Channel.Quantity)))
        {
            column.Unit = null;
        }
    }

    private void TakeUsersUnits(List<ColumnDraft> columns)
    {
        TakeUsersUnit(columns, Quantity.Time, _options.TimeUnit, "time");
        TakeUsersUnit(columns, Quantity.Acceleration, _options.AccelerationUnit, "acceleration");
        TakeUsersUnit(columns, Quantity.Rate, _options.RateUnit, "rates");
        if (_options.CountsPerG is { } counts)
        {
            foreach (ColumnDraft column in columns.Where(c => c.Channel?.Quantity == Quantity.Acceleration))
            {
                column.Unit = new Unit("counts", UnitKind.Acceleration, UnitTable.GravityMps2 / counts);
                column.HowKnown = "user";
            }
        }
    }

    private void TakeUsersUnit(List<ColumnDraft> columns, Quantity quantity, string? text, string option)
    {
        if (text is null)
        {
            return;
        }

        Unit unit =
            UnitTable.Find(text, quantity)
            ?? throw Fault(
                null,
                null,
                $"'{CellText.Cut(text)}' is not a unit for {option}",
                "Write a unit such as s, ms, g, m/s2 or deg/s."
            );
        foreach (ColumnDraft column in columns.Where(c => c.Channel?.Quantity == quantity))
        {
            (column.Unit, column.HowKnown) = (unit, "user");
        }
    }

    private InputFaultException EntryFault(ColumnEntry entry, string problem, string remedy) =>
        new(new InputFault(_options.Columns?.Path ?? _path, entry.Line > 0 ? entry.Line : null, null, problem, remedy));

    private InputFaultException Fault(int? line, int? column, string problem, string remedy) =>
        new(new InputFault(_path, line, column, problem, remedy));
}
