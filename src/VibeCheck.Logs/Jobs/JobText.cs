using System.Globalization;
using System.Text;
using VibeCheck.Core.Comparisons;

namespace VibeCheck.Logs.Jobs;

/// <summary>Writes job.toml, so that what was put together on a screen can be read and changed by hand.</summary>
public static class JobText
{
    private static readonly string[] s_flight =
    [
        "name",
        "imu",
        "esc",
        "columns",
        "ambient_c",
        "hover_s",
        "clock_offset_s",
        "imu_unit",
        "join_parts",
    ];

    /// <summary>All keys that are read and written, each with its section.</summary>
    internal static IReadOnlySet<string> Keys { get; } =
        new HashSet<string>(
            [
                "title",
                "tail",
                "serial",
                "work_order",
                "customer",
                "airframe",
                "survey",
                "columns",
                "thresholds.change_db",
                "thresholds.change_c",
                "thresholds.flight_scatter_db",
                "thresholds.flight_scatter_c",
                .. s_flight.Select(k => "before." + k),
                .. s_flight.Select(k => "after." + k),
            ],
            StringComparer.Ordinal
        );

    /// <summary>The text of a job file without stages.</summary>
    /// <param name="job">The job; its files as the tool opens them.</param>
    /// <param name="folder">Folder of the job file, from which its paths start.</param>
    /// <param name="columns">Columns file of all its recorders; null without.</param>
    public static string Of(Job job, string folder, string? columns)
    {
        ArgumentNullException.ThrowIfNull(job);
        ArgumentNullException.ThrowIfNull(folder);
        var text = new StringBuilder();
        Key(text, "title", job.Title);
        Key(text, "tail", job.Tail);
        Key(text, "serial", job.Serial);
        Key(text, "work_order", job.WorkOrder);
        Key(text, "customer", job.Customer);
        Key(text, "airframe", job.Airframe is string airframe ? Relative(folder, airframe) : null);
        Key(text, "survey", job.Survey is string survey ? Relative(folder, survey) : null);
        Key(text, "columns", columns is null ? null : Relative(folder, columns));
        AppendThresholds(text, job.Options);
        foreach (JobFlight flight in job.Before)
        {
            AppendFlight(text, "before", flight, folder, columns);
        }

        foreach (JobFlight flight in job.After)
        {
            AppendFlight(text, "after", flight, folder, columns);
        }

        return text.ToString();
    }

    private static void AppendThresholds(StringBuilder text, ComparisonOptions options)
    {
        ComparisonOptions usual = new();
        (string Key, double Value, double Usual)[] all =
        [
            ("change_db", options.MinChangeDb, usual.MinChangeDb),
            ("change_c", options.MinChangeC, usual.MinChangeC),
            ("flight_scatter_db", options.FlightScatterDb, usual.FlightScatterDb),
            ("flight_scatter_c", options.FlightScatterC, usual.FlightScatterC),
        ];
        if (all.Any(o => o.Value != o.Usual))
        {
            text.Append("\n[thresholds]\n");
        }

        foreach ((string key, double value, _) in all.Where(o => o.Value != o.Usual))
        {
            Key(text, key, value);
        }
    }

    private static void AppendFlight(StringBuilder text, string section, JobFlight flight, string folder, string? columns)
    {
        text.Append(CultureInfo.InvariantCulture, $"\n[[{section}]]\n");
        Key(text, "name", flight.Name);
        Files(text, "imu", flight.Files.Imu, folder);
        Files(text, "esc", flight.Files.Esc, folder);
        Key(text, "columns", flight.Columns is string own && own != columns ? Relative(folder, own) : null);
        Key(text, "ambient_c", flight.AmbientC);
        if (flight.HoverS is { } hover)
        {
            text.Append(CultureInfo.InvariantCulture, $"hover_s = [{hover.FromS:R}, {hover.ToS:R}]\n");
        }

        Key(text, "clock_offset_s", flight.ClockOffsetS);
        Key(text, "imu_unit", flight.ImuUnit);
        if (flight.JoinParts)
        {
            text.Append("join_parts = true\n");
        }
    }

    private static void Files(StringBuilder text, string key, IReadOnlyList<string> paths, string folder)
    {
        string[] names = [.. paths.Select(p => Quoted(Relative(folder, p)))];
        if (names.Length > 0)
        {
            text.Append(CultureInfo.InvariantCulture, $"{key} = {(names.Length == 1 ? names[0] : $"[{string.Join(", ", names)}]")}\n");
        }
    }

    private static void Key(StringBuilder text, string key, string? value)
    {
        if (value is not null)
        {
            text.Append(CultureInfo.InvariantCulture, $"{key} = {Quoted(value)}\n");
        }
    }

    private static void Key(StringBuilder text, string key, double? value)
    {
        if (value is double known)
        {
            text.Append(CultureInfo.InvariantCulture, $"{key} = {known:R}\n");
        }
    }

    private static string Relative(string folder, string path) =>
        Path.GetRelativePath(Path.GetFullPath(folder), Path.GetFullPath(path)).Replace(Path.DirectorySeparatorChar, '/');

    private static string Quoted(string text) =>
        "\""
        + string.Concat(text.Where(c => !char.IsControl(c)))
            .Replace("\\", "\\\\", StringComparison.Ordinal)
            .Replace("\"", "\\\"", StringComparison.Ordinal)
        + "\"";
}
