using System.Globalization;
using System.Text.RegularExpressions;

namespace VibeCheck.Campaigns.Damage;

/// <summary>What to run of the damage campaign.</summary>
internal sealed record DamageOptions
{
    internal const string Usage =
        "damage [--jobs N] [--first JOB] [--threads N] [--kinds REGEX] [--severity TEXT] [--side before|after] "
        + "[--share F | --draw N] [--seed S] [--each | --wrong] [--out FILE.md] [--cases FILE.csv] [--from FILE.csv]... [--list] "
        + "[--keep DIR]";

    internal int Jobs { get; init; } = 20;

    /// <summary>Number of the first job.</summary>
    internal int First { get; init; }

    internal int Threads { get; init; } = Environment.ProcessorCount;

    /// <summary>Kinds whose "subject: name" matches.</summary>
    internal string Kinds { get; init; } = "";

    /// <summary>Severities whose label begins with this text.</summary>
    internal string Severity { get; init; } = "";

    internal string Side { get; init; } = "";

    /// <summary>Share of the cases of every kind and severity, drawn at random.</summary>
    internal double Share { get; init; } = 1;

    /// <summary>Cases in all, spread evenly over kinds and severities; null for the share.</summary>
    internal int? Draw { get; init; }

    internal int Seed { get; init; } = 1;

    /// <summary>Prints every case, or the wrong ones only.</summary>
    internal bool Each { get; init; }

    internal bool Wrong { get; init; }

    internal bool List { get; init; }

    /// <summary>File that receives the table in addition to standard output.</summary>
    internal string? Out { get; init; }

    internal string? Cases { get; init; }

    /// <summary>Lists of cases of earlier runs, which are joined into one table; nothing is run.</summary>
    internal IReadOnlyList<string> From { get; init; } = [];

    /// <summary>Folder for all files, which are then kept for use with the program itself; null for a temporary folder.</summary>
    internal string? Keep { get; init; }

    internal bool Takes(string subjectAndName) => Regex.IsMatch(subjectAndName, Kinds, RegexOptions.IgnoreCase);

    /// <summary>The options, or null where they are wrong.</summary>
    internal static DamageOptions? Parse(string[] args)
    {
        DamageOptions options = new();
        for (int i = 0; i < args.Length; i++)
        {
            string next = i + 1 < args.Length ? args[i + 1] : "";
            (DamageOptions? read, int taken) = args[i] switch
            {
                "--jobs" => (options with { Jobs = Whole(next) }, 1),
                "--first" => (options with { First = Whole(next) }, 1),
                "--threads" => (options with { Threads = Whole(next) }, 1),
                "--kinds" => (options with { Kinds = next }, 1),
                "--severity" => (options with { Severity = next }, 1),
                "--side" => (options with { Side = next }, 1),
                "--share" => (options with { Share = double.Parse(next, CultureInfo.InvariantCulture) }, 1),
                "--draw" => (options with { Draw = Whole(next) }, 1),
                "--seed" => (options with { Seed = Whole(next) }, 1),
                "--out" => (options with { Out = next }, 1),
                "--from" => (options with { From = [.. options.From, next] }, 1),
                "--keep" => (options with { Keep = next }, 1),
                "--cases" => (options with { Cases = next }, 1),
                "--each" => (options with { Each = true }, 0),
                "--wrong" => (options with { Wrong = true }, 0),
                "--list" => (options with { List = true }, 0),
                _ => ((DamageOptions?)null, 0),
            };
            if (read is null)
            {
                return null;
            }

            options = read;
            i += taken;
        }

        return options;
    }

    private static int Whole(string text) => int.Parse(text, CultureInfo.InvariantCulture);
}
