using System.CommandLine;
using System.Text;
using VibeCheck.Core.Tracks;
using VibeCheck.Logs.Columns;
using VibeCheck.Logs.Flights;
using VibeCheck.Logs.Inputs;
using VibeCheck.Reports.Files;
using VibeCheck.Reports.Json;
using VibeCheck.Reports.Tables;

namespace VibeCheck.Cli;

/// <summary>vibecheck read: how logs were understood, without analysis.</summary>
internal static class ReadCommand
{
    internal static Command Build(Terminal terminal)
    {
        var logs = new Argument<string[]>("LOG")
        {
            Description = "Log files (CSV, also compressed as .gz).",
            Arity = ArgumentArity.OneOrMore,
        };
        var json = CommonOptions.Json();
        var write = new Option<string?>("--write-columns")
        {
            Description = "Write how the columns of the first log were understood to FILE, to edit and give back with --columns.",
            HelpName = "FILE",
        };
        var options = new LogOptions();
        var command = new Command("read", "Show how logs were understood: columns, units, rates, gaps, clipping.") { logs, json, write };
        options.AddTo(command);

        command.SetAction(parsed =>
        {
            string[] paths = parsed.GetValue(logs)!;
            string? columns = parsed.GetValue(write),
                data = parsed.GetValue(json);
            var outputs = OutputPlan.Of(terminal, ("--json", data), ("--write-columns", columns));
            outputs.Spare([.. paths, options.ColumnsPath(parsed)]);
            outputs.SpareOtherKinds();
            ReadOptions said = ColumnQuestions.Ask(terminal, paths, options.Read(parsed));
            IReadOnlyList<FileRecord> files = Read(terminal, paths, said, columns);
            WriteColumns(terminal, columns, () => files[0], paths[0], said);
            ResultOutput.Write(terminal, data, stream => ReadingJson.Write(files, stream));
            if (!ResultOutput.IsStandardOutput(data) && !ResultOutput.IsStandardOutput(columns))
            {
                Show(terminal, files);
            }

            return ExitCode.Done;
        });
        return command;
    }

    /// <summary>Reads the logs. For a log that cannot be read without a columns file, one is written from its headers for the user to fill
    /// in; the log is still refused.</summary>
    private static IReadOnlyList<FileRecord> Read(Terminal terminal, string[] paths, ReadOptions said, string? columns)
    {
        try
        {
            return LongWork.Run(terminal, "Reading", (progress, _) => LogInspection.Read(paths, said with { Progress = progress }));
        }
        catch (InputFaultException e) when (columns is not null && FilePlace.Of(paths[0]).Kind == FilePlaceKind.File)
        {
            WriteColumns(terminal, columns, () => LogInspection.Headers(paths[0], said), paths[0], said);
            string next =
                $"{columns} now lists its columns: check what they are, fill in what is missing, and give it with --columns {columns}.";
            throw new InputFaultException(e.Fault with { Remedy = next }, [.. e.Faults.Skip(1)]);
        }
    }

    private static void WriteColumns(Terminal terminal, string? path, Func<FileRecord> reading, string log, ReadOptions said)
    {
        if (path is not null)
        {
            byte[] text = Encoding.UTF8.GetBytes(
                ColumnsFile.TextOf(reading(), FilePlace.Of(log).Kind == FilePlaceKind.File ? LogInspection.Samples(log, said) : null)
            );
            ResultOutput.Write(terminal, path, stream => stream.Write(text));
        }
    }

    private static void Show(Terminal terminal, IReadOnlyList<FileRecord> files)
    {
        for (int i = 0; i < files.Count; i++)
        {
            if (i > 0)
            {
                terminal.Output.WriteLine();
            }

            ReadingTable.Write(files[i], terminal.Output, terminal.Width);
        }
    }
}
