using System.CommandLine;
using VibeCheck.Reports.Html;

namespace VibeCheck.Cli;

/// <summary>Writes a simulated job into a folder and runs compare on it, to show a new user all results.</summary>
internal static class DemoCommand
{
    private const string Prefix = "demo/";

    internal static Command Build(Terminal terminal)
    {
        Argument<string> directory = new("DIR")
        {
            Description = "Folder to write the job and its report to.",
            DefaultValueFactory = _ => "vibecheck-demo",
        };
        Option<string?> json = CommonOptions.Json();
        Option<bool> plain = CommonOptions.Plain(),
            open = new("--open") { Description = "Open the report page." };
        Command command = new("demo", "Write a simulated sample job into a folder and run compare on it.") { directory, json, open, plain };
        command.SetAction(parsed =>
        {
            string folder = parsed.GetRequiredValue(directory),
                report = Path.Combine(folder, "report.html");
            string? data = parsed.GetValue(json);
            CheckOutputs(terminal, folder, report, data);
            WriteJob(terminal, folder);
            terminal.Error.WriteLine($"Sample job written to {folder}; the data is simulated. Comparing before and after ...");
            int code = CompareCommand.Run(
                terminal,
                Path.Combine(folder, "job.toml"),
                data,
                report,
                parsed.GetValue(open),
                parsed.GetValue(plain)
            );
            return code;
        });
        return command;
    }

    private static IEnumerable<(string Name, string Path)> Files(string folder) =>
        typeof(DemoCommand)
            .Assembly.GetManifestResourceNames()
            .Where(n => n.StartsWith(Prefix, StringComparison.Ordinal))
            .Select(n => (n, Path.Combine(folder, n[Prefix.Length..])));

    private static Stream Content(string name) => typeof(DemoCommand).Assembly.GetManifestResourceStream(name)!;

    /// <summary>Checks before the first file is written, and refuses to overwrite a file with other content or a page that the tool did not
    /// write.</summary>
    private static void CheckOutputs(Terminal terminal, string folder, string report, string? json)
    {
        ResultOutput.CreateFolderFor(report);
        foreach ((string name, string path) in Files(folder))
        {
            using Stream content = Content(name);
            if (Path.Exists(path) && !(File.Exists(path) && Same(content, path)))
            {
                throw Taken(path);
            }
        }

        if (Path.Exists(report) && !(File.Exists(report) && PageOrigin.IsMarked(report)))
        {
            throw Taken(report);
        }

        var outputs = OutputPlan.Of(terminal, ("--json", json), ("the report", report));
        outputs.Spare(Files(folder).Select(f => f.Path));
        outputs.SpareOtherKinds();
    }

    private static OutputFaultException Taken(string path) =>
        new($"{path} exists with other content and is not overwritten. Name an empty folder.");

    private static void WriteJob(Terminal terminal, string folder)
    {
        foreach ((string name, string path) in Files(folder).Where(f => !File.Exists(f.Path)))
        {
            using Stream content = Content(name);
            ResultOutput.CreateFolderFor(path);
            ResultOutput.Write(terminal, path, content.CopyTo, tell: false);
        }
    }

    private static bool Same(Stream content, string path)
    {
        using FileStream file = File.OpenRead(path);
        if (file.Length != content.Length)
        {
            return false;
        }

        Span<byte> a = new byte[65536],
            b = new byte[65536];
        while (true)
        {
            int read = content.ReadAtLeast(a, a.Length, throwOnEndOfStream: false);
            if (read != file.ReadAtLeast(b, b.Length, throwOnEndOfStream: false) || !a[..read].SequenceEqual(b[..read]))
            {
                return false;
            }

            if (read < a.Length)
            {
                return true;
            }
        }
    }
}
