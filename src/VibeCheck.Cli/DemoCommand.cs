using System.CommandLine;
using System.Reflection;

namespace VibeCheck.Cli;

/// <summary>Writes a made-up job into a folder and runs compare on it, so that a new user sees everything once.</summary>
internal static class DemoCommand
{
    private const string Prefix = "demo/";

    internal static Command Build(Terminal terminal)
    {
        Argument<string> directory = new("DIR") { Description = "Folder to write the job and its report to.", DefaultValueFactory = _ => "vibecheck-demo" };
        Option<string?> json = CommonOptions.Json();
        Option<bool> plain = CommonOptions.Plain();
        Command command = new("demo", "Write a made-up job into a folder and run compare on it.") { directory, json, plain };
        command.SetAction(parsed =>
        {
            string folder = parsed.GetRequiredValue(directory);
            WriteJob(terminal, folder);
            string report = Path.Combine(folder, "report.html");
            terminal.Error.WriteLine($"A made-up job stands in {folder}: no real aircraft. Comparing before and after ...");
            int code = CompareCommand.Run(terminal, Path.Combine(folder, "job.toml"), parsed.GetValue(json), report, parsed.GetValue(plain));
            terminal.Error.WriteLine($"Report page: {report}");
            return code;
        });
        return command;
    }

    /// <summary>Writes the embedded job. Files that stand there with other content are never written over.</summary>
    private static void WriteJob(Terminal terminal, string folder)
    {
        Assembly assembly = typeof(DemoCommand).Assembly;
        foreach (string name in assembly.GetManifestResourceNames().Where(n => n.StartsWith(Prefix, StringComparison.Ordinal)))
        {
            using Stream content = assembly.GetManifestResourceStream(name)!;
            string path = Path.Combine(folder, name[Prefix.Length..]);
            if (File.Exists(path))
            {
                if (!Same(content, path))
                {
                    throw new OutputFaultException($"{path} stands there with other content and is not written over; name an empty folder.");
                }

                continue;
            }

            ResultOutput.CreateFolderFor(path);
            ResultOutput.Write(terminal, path, content.CopyTo);
        }
    }

    private static bool Same(Stream content, string path)
    {
        using FileStream file = File.OpenRead(path);
        if (file.Length != content.Length)
        {
            return false;
        }

        Span<byte> a = new byte[65536], b = new byte[65536];
        while (true)
        {
            int read = content.ReadAtLeast(a, a.Length, throwOnEndOfStream: false);
            if (read != file.ReadAtLeast(b, b.Length, throwOnEndOfStream: false) || !a[..read].SequenceEqual(b[..read]))
            {
                return false;
            }

            if (read < a.Length)
            {
                content.Position = 0;
                return true;
            }
        }
    }
}
