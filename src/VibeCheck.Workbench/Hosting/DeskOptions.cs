using System.Globalization;

namespace VibeCheck.Workbench.Hosting;

/// <summary>How the workbench was started.</summary>
/// <param name="Folder">Folder of the job, as the user gave it.</param>
/// <param name="Port">Port to listen on; 0 for any that is free.</param>
/// <param name="Opens">Whether a browser is opened.</param>
/// <param name="Parent">Id of the process that started the workbench, which stops when that process ends; null without one.</param>
internal sealed record DeskOptions(string Folder, int Port, bool Opens, int? Parent)
{
    /// <summary>Whether the bench sheet is served on the local network.</summary>
    internal bool Shares { get; init; }

    internal const string Usage = "Usage: vibecheck workbench [FOLDER] [--port PORT] [--no-open] [--share]";

    /// <summary>Reads the arguments; null where they cannot be understood.</summary>
    internal static DeskOptions? Read(IReadOnlyList<string> args)
    {
        DeskOptions options = new(".", 0, Opens: true, null);
        bool named = false;
        for (int i = 0; i < args.Count; i++)
        {
            string? next = i + 1 < args.Count ? args[i + 1] : null;
            DeskOptions? read = args[i] switch
            {
                "--no-open" => options with { Opens = false },
                "--share" => options with { Shares = true },
                "--port" when Number(next, 65535) is int port => Skip(ref i, options with { Port = port }),
                "--parent" when Number(next, int.MaxValue) is int parent => Skip(ref i, options with { Parent = parent }),
                string word when !named && word.Length > 0 && !word.StartsWith('-') => Named(ref named, options with { Folder = word }),
                _ => null,
            };
            if (read is null)
            {
                return null;
            }

            options = read;
        }

        return options;
    }

    private static int? Number(string? text, int most) =>
        int.TryParse(text, NumberStyles.None, CultureInfo.InvariantCulture, out int number) && number <= most ? number : null;

    private static DeskOptions Skip(ref int i, DeskOptions options)
    {
        i++;
        return options;
    }

    private static DeskOptions Named(ref bool named, DeskOptions options)
    {
        named = true;
        return options;
    }
}
