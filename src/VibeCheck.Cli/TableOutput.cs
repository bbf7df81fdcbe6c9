using System.CommandLine;
using System.Globalization;
using Microsoft.Data.Analysis;

namespace VibeCheck.Cli;

/// <summary>Tables of a result as CSV files in a folder: comma, decimal point, one header line, empty cells for unknown values.</summary>
internal static class TableOutput
{
    /// <summary>The table of the motors, of a flight or of a comparison.</summary>
    internal const string Motors = "motors.csv";

    /// <summary>The table of the stages of a history.</summary>
    internal const string Stages = "stages.csv";

    internal static Option<string?> Option() =>
        new("--tables")
        {
            Description = "Write CSV tables into the folder DIR: one row per motor (and one per stage, if the job has stages).",
            HelpName = "DIR",
        };

    /// <summary>Refuses a folder that cannot be one, before anything is read; passes over null.</summary>
    /// <exception cref="OutputFaultException">It is standard output, or the path is not a folder.</exception>
    internal static void Check(string? folder)
    {
        if (folder is null)
        {
            return;
        }

        if (StandardStreams.IsOutput(folder) || StandardStreams.IsError(folder))
        {
            throw new OutputFaultException(
                $"--tables: {folder} is not a folder, and tables are separate files. Name a folder, such as --tables tables."
            );
        }

        if (Path.Exists(folder) && !Directory.Exists(folder))
        {
            throw new OutputFaultException(
                $"--tables: {folder} is a file, and tables are written into a folder. Name a folder; it is made if missing."
            );
        }
    }

    /// <summary>Files that will be written into an existing folder, to be checked before
    /// anything is read; null for one that does not.</summary>
    internal static string? In(string? folder, string name) =>
        folder is not null && Directory.Exists(folder) ? Path.Combine(folder, name) : null;

    /// <summary>Writes a table into the folder, which is created where it is missing; does nothing without a folder.</summary>
    internal static void Write(Terminal terminal, string? folder, string name, Func<DataFrame> table)
    {
        if (folder is null)
        {
            return;
        }

        string path = Path.Combine(folder, name);
        ResultOutput.CreateFolderFor(path);
        ResultOutput.Write(
            terminal,
            path,
            stream =>
            {
                using var memory = new MemoryStream();
                DataFrame.SaveCsv(table(), memory, cultureInfo: CultureInfo.InvariantCulture);
                stream.Write(memory.ToArray());
            }
        );
    }
}
