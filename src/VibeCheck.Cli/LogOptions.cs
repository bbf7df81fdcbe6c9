using System.CommandLine;
using VibeCheck.Logs.Columns;
using VibeCheck.Logs.Inputs;

namespace VibeCheck.Cli;

/// <summary>Options that describe a log; the same on every command that reads one.</summary>
internal sealed class LogOptions
{
    private readonly Option<string?> _columns = new("--columns")
    {
        Description = "Columns file (TOML): what each column is.",
        HelpName = "FILE",
    };
    private readonly Option<int?> _imuUnit = NumberOption.WholeOf(
        "--imu-unit",
        "Which IMU to use if the log has several, from 1 (default: 1).",
        "N",
        1,
        100,
        "a whole number from 1 to 100"
    );

    private readonly Option<string?> _timeUnit = new("--time-unit")
    {
        Description = "Unit of the time column: s, ms, us or ns.",
        HelpName = "UNIT",
    };
    private readonly Option<string?> _accUnit = new("--acc-unit")
    {
        Description = "Unit of acceleration, such as g or m/s2.",
        HelpName = "UNIT",
    };
    private readonly Option<string?> _rateUnit = new("--rate-unit")
    {
        Description = "Unit of the rates, such as deg/s or rad/s.",
        HelpName = "UNIT",
    };
    private readonly Option<double?> _counts = NumberOption.Of(
        "--counts-per-g",
        "Raw counts for one g.",
        "N",
        0.1,
        1e9,
        "the counts for one g, 0.1 to 1e9"
    );
    private readonly Option<double?> _rows = NumberOption.Of(
        "--rows-per-second",
        "Rate of a log without a time column, Hz.",
        "HZ",
        0.1,
        1e6,
        "rows per second, 0.1 to 1e6"
    );

    // One recorder may count from 1970, and the other one from its start.
    private readonly Option<double?> _offset = NumberOption.Of(
        "--clock-offset",
        "Seconds to add to ESC time to meet IMU time (default: found from the data).",
        "S",
        -1e10,
        1e10,
        "seconds, -1e10 to 1e10, such as -0.25"
    );
    private readonly Option<double?> _unusable = NumberOption.Of(
        "--max-unusable",
        "Largest share of unusable rows, 0 to 1, before a file is refused (default: 0.1).",
        "SHARE",
        0,
        1,
        "a share from 0 to 1, such as 0.05"
    );

    private readonly Option<bool> _join = new("--join-parts")
    {
        Description = "Several files are parts of one flight even if each restarts its clock.",
    };

    internal void AddTo(Command command)
    {
        foreach (Option option in (Option[])[_columns, _imuUnit, _timeUnit, _accUnit, _rateUnit, _counts, _rows, _offset, _unusable, _join])
        {
            command.Options.Add(option);
        }
    }

    /// <summary>The columns file, which no output may overwrite.</summary>
    internal string? ColumnsPath(ParseResult parsed) => parsed.GetValue(_columns);

    /// <exception cref="InputFaultException">The columns file can't be used.</exception>
    internal ReadOptions Read(ParseResult parsed) =>
        new()
        {
            Columns = parsed.GetValue(_columns) is { } path ? ColumnsFile.Read(path) : null,
            ImuUnit = parsed.GetValue(_imuUnit) ?? ReadOptions.Default.ImuUnit,
            TimeUnit = parsed.GetValue(_timeUnit),
            AccelerationUnit = parsed.GetValue(_accUnit),
            RateUnit = parsed.GetValue(_rateUnit),
            CountsPerG = parsed.GetValue(_counts),
            RowsPerSecond = parsed.GetValue(_rows),
            ClockOffsetS = parsed.GetValue(_offset),
            JoinParts = parsed.GetValue(_join),
            MaxUnusableShare = parsed.GetValue(_unusable) ?? ReadOptions.Default.MaxUnusableShare,
        };
}
