using System.CommandLine;
using VibeCheck.Logs;
using VibeCheck.Logs.Columns;

namespace VibeCheck.Cli;

/// <summary>What a user can say about a log on the command line; the same on every command that reads one.</summary>
internal sealed class LogOptions
{
    private readonly Option<string?> _columns = new("--columns") { Description = "Columns file (TOML) that says what the columns are.", HelpName = "FILE" };
    private readonly Option<int> _imuUnit = new("--imu-unit") { Description = "Which IMU to take where the log has several, from 1.", HelpName = "N", DefaultValueFactory = _ => 1 };
    private readonly Option<string?> _timeUnit = new("--time-unit") { Description = "Unit of the time column: s, ms, us or ns.", HelpName = "UNIT" };
    private readonly Option<string?> _accUnit = new("--acc-unit") { Description = "Unit of acceleration, such as g or m/s2.", HelpName = "UNIT" };
    private readonly Option<string?> _rateUnit = new("--rate-unit") { Description = "Unit of the rates, such as deg/s or rad/s.", HelpName = "UNIT" };
    private readonly Option<double?> _counts = new("--counts-per-g") { Description = "Raw counts for one g.", HelpName = "N" };
    private readonly Option<double?> _rows = new("--rows-per-second") { Description = "Rate of a log without a time column, Hz.", HelpName = "HZ" };
    private readonly Option<double?> _offset = new("--clock-offset") { Description = "Seconds to add to ESC time to meet IMU time (default: found from the data).", HelpName = "S" };
    private readonly Option<double> _unusable = new("--max-unusable")
    {
        Description = "Largest share of unusable rows, 0 to 1, before a file is refused.",
        HelpName = "SHARE",
        DefaultValueFactory = _ => ReadOptions.Default.MaxUnusableShare,
    };

    internal LogOptions()
    {
        Check(_imuUnit, v => v >= 1, "must be 1 or more");
        Check(_counts, v => v is null || (v > 0 && double.IsFinite(v.Value)), "must be above 0");
        Check(_rows, v => v is null || (v > 0 && double.IsFinite(v.Value)), "must be above 0");
        Check(_unusable, v => v is >= 0 and <= 1, "must lie between 0 and 1");
        Check(_offset, v => v is null || double.IsFinite(v.Value), "must be a number of seconds");
    }

    internal void AddTo(Command command)
    {
        foreach (Option option in (Option[])[_columns, _imuUnit, _timeUnit, _accUnit, _rateUnit, _counts, _rows, _offset, _unusable])
        {
            command.Options.Add(option);
        }
    }

    /// <exception cref="InputFaultException">The columns file can't be used.</exception>
    internal ReadOptions Read(ParseResult parsed) => new()
    {
        Columns = parsed.GetValue(_columns) is { } path ? ColumnsFile.Read(path) : null,
        ImuUnit = parsed.GetValue(_imuUnit),
        TimeUnit = parsed.GetValue(_timeUnit),
        AccelerationUnit = parsed.GetValue(_accUnit),
        RateUnit = parsed.GetValue(_rateUnit),
        CountsPerG = parsed.GetValue(_counts),
        RowsPerSecond = parsed.GetValue(_rows),
        ClockOffsetS = parsed.GetValue(_offset),
        MaxUnusableShare = parsed.GetValue(_unusable),
    };

    private static void Check<T>(Option<T> option, Func<T?, bool> good, string otherwise) => option.Validators.Add(result =>
    {
        if (result.Errors.Any() || !good(result.GetValueOrDefault<T>()))
        {
            result.AddError($"{option.Name} {otherwise}");
        }
    });
}
