using System.Text;

namespace VibeCheck.Core.Tests.House;

/// <summary>Which folder may use which: the one list behind the picture of docs/architecture.md and the tests that keep it true.</summary>
/// <remarks>A new folder of Core gets a line here; the test then says what the page must show.</remarks>
internal static class HousePlan
{
    /// <summary>Folders of Core that all others may use.</summary>
    internal static IReadOnlyList<string> ForAll { get; } = ["", "Statistics"];

    /// <summary>Each folder of Core with those right below it. It may use all that it reaches
    /// along these arrows, and nothing else.</summary>
    internal static IReadOnlyDictionary<string, string[]> CoreFolders { get; } =
        new Dictionary<string, string[]>(StringComparer.Ordinal)
        {
            ["Comparisons"] = ["Findings", "Surveys"],
            ["Findings"] = ["Quality"],
            ["Quality"] = ["Flights", "Samples"],
            ["Flights"] = ["Flights.Accounting", "Flights.Hovers", "Flights.Structure", "Flights.Temperatures", "Orders.SpeedSearch"],
            ["Flights.Accounting"] = ["Airframes", "Orders.Group"],
            ["Flights.Structure"] = ["Flights.Lines"],
            ["Flights.Lines"] = ["Airframes", "Signals"],
            ["Flights.Hovers"] = ["Signals"],
            ["Flights.Temperatures"] = ["Tracks"],
            ["Orders.Group"] = ["Orders"],
            ["Samples"] = ["Orders"],
            ["Orders.SpeedSearch"] = ["Orders"],
            ["Orders"] = ["Signals"],
            ["Signals"] = ["Tracks"],
            ["Tracks"] = [],
            ["Surveys"] = ["Airframes"],
            ["Airframes"] = [],
        };

    /// <summary>Each project with those it refers to.</summary>
    internal static IReadOnlyDictionary<string, string[]> Projects { get; } =
        new Dictionary<string, string[]>(StringComparer.Ordinal)
        {
            ["Cli"] = ["Logs", "Reports", "Workbench"],
            ["Workbench"] = ["Logs", "Reports"],
            ["BenchSheet"] = ["Logs"],
            ["Logs"] = ["Core"],
            ["Reports"] = ["Core"],
            ["Core"] = [],
        };

    /// <summary>All folders that a folder reaches along the arrows.</summary>
    internal static IReadOnlySet<string> Reached(string folder)
    {
        HashSet<string> reached = [];
        Stack<string> open = new([folder]);
        while (open.TryPop(out string? at))
        {
            foreach (string below in CoreFolders[at].Where(reached.Add))
            {
                open.Push(below);
            }
        }

        return reached;
    }

    /// <summary>The picture, as Mermaid text.</summary>
    internal static string Picture()
    {
        StringBuilder text = new("flowchart TD\n");
        foreach ((string project, string[] below) in Projects)
        {
            AddArrows(text, "    ", project, below);
        }

        text.Append("    subgraph Core\n");
        foreach ((string folder, string[] below) in CoreFolders)
        {
            AddArrows(text, "        ", folder, below);
        }

        return text.Append("    end\n").ToString();
    }

    private static void AddArrows(StringBuilder text, string indent, string from, string[] below)
    {
        foreach (string to in below)
        {
            text.Append(indent).Append(from).Append(" --> ").Append(to).Append('\n');
        }
    }
}
