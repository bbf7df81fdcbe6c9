using System.CommandLine;
using System.Text;
using VibeCheck.Core.Flights;
using VibeCheck.Logs;
using VibeCheck.Logs.Columns;
using VibeCheck.Reports;
using VibeCheck.Reports.Tables;

namespace VibeCheck.Cli;

/// <summary>vibecheck read: how logs were understood, without analysis.</summary>
internal static class ReadCommand
{
    internal static Command Build(Terminal terminal)
    {
        var logs = new Argument<string[]>("LOG") { Description = "Log files (CSV, also packed as .gz).", Arity = ArgumentArity.OneOrMore };
        var json = CommonOptions.Json();
        var write = new Option<string?>("--write-columns") { Description = "Write what the first log's columns were taken for to FILE, to be edited and given with --columns.", HelpName = "FILE" };
        var options = new LogOptions();
        var command = new Command("read", "Say how logs were understood: columns, units, rates, gaps, clipping.") { logs, json, write };
        options.AddTo(command);

        command.SetAction(parsed =>
        {
            ReadOptions said = options.Read(parsed);
            string[] paths = parsed.GetValue(logs)!;
            string? columns = parsed.GetValue(write);
            IReadOnlyList<FileReading> files = Read(terminal, paths, said, columns);
            Show(terminal, files, parsed.GetValue(json));
            if (columns is not null)
            {
                WriteColumns(columns, files[0]);
            }

            return ExitCode.Done;
        });
        return command;
    }

    /// <summary>A log that needs a columns file to be read gets one made from its headers, to be filled in; the refusal stands.</summary>
    private static IReadOnlyList<FileReading> Read(Terminal terminal, string[] paths, ReadOptions said, string? columns)
    {
        try
        {
            return LongWork.Run(terminal, "Reading", progress => LogInspection.Read(paths, said with { Progress = progress }));
        }
        catch (InputFaultException) when (columns is not null)
        {
            WriteColumns(columns, LogInspection.Headers(paths[0], said));
            terminal.Error.WriteLine($"{columns} holds the headers of {paths[0]}: check and fill in what the columns are, and give it with --columns.");
            throw;
        }
    }

    private static void WriteColumns(string path, FileReading reading) =>
        Write(path, stream => stream.Write(Encoding.UTF8.GetBytes(ColumnsFile.TextOf(reading))));

    private static void Show(Terminal terminal, IReadOnlyList<FileReading> files, string? json)
    {
        if (json == "-")
        {
            using var memory = new MemoryStream();
            ReadingJson.Write(files, memory);
            terminal.Output.Write(Encoding.UTF8.GetString(memory.ToArray()));
            return;
        }

        for (int i = 0; i < files.Count; i++)
        {
            if (i > 0)
            {
                terminal.Output.WriteLine();
            }

            ReadingTable.Write(files[i], terminal.Output);
        }

        if (json is not null)
        {
            Write(json, stream => ReadingJson.Write(files, stream));
        }
    }

    private static void Write(string path, Action<Stream> content)
    {
        try
        {
            WholeFile.Write(path, content);
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            throw new OutputFaultException($"{path} can't be written: {e.Message} Choose another place.", e);
        }
    }
}
