using System.Text;

namespace VibeCheck.Core.Tests.House;

/// <summary>The dependencies allowed between folders: the single list behind the picture in docs/architecture.md and the tests that keep it
/// true.</summary>
/// <remarks>A new folder of Core gets a line here; the test then prints what the page must show.</remarks>
internal static class HousePlan
{
    /// <summary>Folders that all others of their project may use.</summary>
    internal static IReadOnlyDictionary<string, string[]> ForAll { get; } =
        new Dictionary<string, string[]>(StringComparer.Ordinal)
        {
            ["Core"] = ["", "Statistics"],
            ["Logs"] = [],
            ["Reports"] = [],
        };

    /// <summary>For each project, its folders with those directly below them. A folder may use all that it reaches along these arrows, and
    /// nothing else.</summary>
    internal static IReadOnlyDictionary<string, IReadOnlyDictionary<string, string[]>> Folders { get; } =
        new Dictionary<string, IReadOnlyDictionary<string, string[]>>(StringComparer.Ordinal)
        {
            ["Core"] = new Dictionary<string, string[]>(StringComparer.Ordinal)
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
            },
            ["Logs"] = new Dictionary<string, string[]>(StringComparer.Ordinal)
            {
                ["Sheets"] = ["Surveys"],
                ["Jobs"] = ["Airframes", "Flights", "Surveys"],
                ["Flights"] = ["Assembly", "Forms"],
                ["Assembly"] = ["Checks"],
                ["Checks"] = ["Units"],
                ["Units"] = ["Tables"],
                ["Tables"] = ["Clocks", "Columns"],
                ["Forms"] = ["Columns"],
                ["Columns"] = ["Text"],
                ["Text"] = ["Inputs"],
                ["Surveys"] = ["Inputs"],
                ["Airframes"] = ["Inputs"],
                ["Clocks"] = [],
                ["Inputs"] = [],
            },
            ["Reports"] = new Dictionary<string, string[]>(StringComparer.Ordinal)
            {
                ["Pages"] = ["Figures"],
                ["Figures"] = ["Drawings"],
                ["Drawings"] = ["Html", "Text"],
                ["Console"] = ["Tables", "Text"],
                ["Json"] = ["Text"],
                ["Tables"] = ["Formatting"],
                ["Text"] = ["Formatting"],
                ["Formatting"] = [],
                ["Html"] = ["Formatting"],
                ["Files"] = [],
            },
        };

    /// <summary>Each project with the projects that it refers to.</summary>
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

    /// <summary>All folders of a project that are reachable from a folder along the arrows.</summary>
    internal static IReadOnlySet<string> Reached(string project, string folder)
    {
        HashSet<string> reached = [];
        Stack<string> open = new([folder]);
        while (open.TryPop(out string? at))
        {
            foreach (string below in Folders[project][at].Where(reached.Add))
            {
                open.Push(below);
            }
        }

        return reached;
    }

    /// <summary>Writes the picture of the projects, with the folders of Core, as Mermaid text.</summary>
    internal static string Picture()
    {
        StringBuilder text = new("flowchart TD\n");
        foreach ((string project, string[] below) in Projects)
        {
            AddArrows(text, "    ", project, below);
        }

        AddFolders(text.Append("    subgraph Core\n"), "        ", "Core");
        return text.Append("    end\n").ToString();
    }

    /// <summary>Writes the picture of the folders of one project, as Mermaid text. A folder without arrows is a node of its own.</summary>
    internal static string Picture(string project)
    {
        StringBuilder text = new("flowchart TD\n");
        AddFolders(text, "    ", project);
        return text.ToString();
    }

    private static void AddFolders(StringBuilder text, string indent, string project)
    {
        foreach ((string folder, string[] below) in Folders[project])
        {
            AddArrows(text, indent, folder, below);
        }

        foreach (
            string alone in Folders[project]
                .Keys.Where(f => Folders[project].All(o => o.Key == f ? o.Value.Length == 0 : !o.Value.Contains(f)))
        )
        {
            text.Append(indent).Append(alone).Append('\n');
        }
    }

    private static void AddArrows(StringBuilder text, string indent, string from, string[] below)
    {
        foreach (string to in below)
        {
            text.Append(indent).Append(from).Append(" --> ").Append(to).Append('\n');
        }
    }
}
