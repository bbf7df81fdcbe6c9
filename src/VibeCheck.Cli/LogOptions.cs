using System.CommandLine;
using VibeCheck.Logs;

namespace VibeCheck.Cli;

/// <summary>What a user can say about how a log is to be read; the same on every command that reads logs.</summary>
internal sealed class LogOptions
{
    private readonly Option<string?> _columns = new("--columns") { Description = "Columns file (TOML) that says what each column is; overrides headers.", HelpName = "FILE" };
    private readonly Option<int> _imuUnit = new("--imu-unit") { Description = "Which IMU to take where the log has several.", DefaultValueFactory = _ => 1, HelpName = "N" };
    private readonly Option<double?> _offset = new("--clock-offset") { Description = "Seconds to add to ESC time to meet IMU time (default: found from the data).", HelpName = "S" };
    private readonly Option<double> _unusable = new("--max-unusable") { Description = "Largest share of unusable rows before a file is refused.", DefaultValueFactory = _ => ReadOptions.Default.MaxUnusableShare, HelpName = "SHARE" };

    internal void AddTo(Command command)
    {
        command.Options.Add(_columns);
        command.Options.Add(_imuUnit);
        command.Options.Add(_offset);
        command.Options.Add(_unusable);
    }

    internal ReadOptions Read(ParseResult parsed) => new()
    {
        Columns = null,
        ImuUnit = parsed.GetValue(_imuUnit),
        ClockOffsetS = parsed.GetValue(_offset),
        MaxUnusableShare = parsed.GetValue(_unusable),
    };
}
