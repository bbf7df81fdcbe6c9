using VibeCheck.Reports.Files;

namespace VibeCheck.Cli;

/// <summary>The outputs requested of a command. They are checked before anything is read, so that no file is lost and no work is
/// wasted.</summary>
internal sealed class OutputPlan
{
    private readonly List<Target> _targets;

    private OutputPlan(List<Target> targets) => _targets = targets;

    /// <summary>Checks the outputs of a command.</summary>
    /// <param name="terminal">Its own outputs may be files too.</param>
    /// <param name="outputs">The option of each output and its path; null for one that is not requested.</param>
    /// <exception cref="OutputFaultException">A path cannot be written to, or two lead to one place.</exception>
    internal static OutputPlan Of(Terminal terminal, params ReadOnlySpan<(string Option, string? Path)> outputs)
    {
        var targets = new List<Target>();
        foreach ((string option, string? path) in outputs)
        {
            if (path is not null)
            {
                targets.Add(TargetOf(option, path));
            }
        }

        targets.AddRange(terminal.Redirected.Select(place => new Target("the output of the command", place.Path, place)));
        for (int i = 0; i < targets.Count; i++)
        {
            for (int j = 0; j < i; j++)
            {
                RequireTwoPlaces(targets[j], targets[i]);
            }
        }

        var plan = new OutputPlan(targets);
        if (terminal.RedirectedInput is FilePlace input)
        {
            plan.Spare("standard input", input);
        }

        return plan;
    }

    /// <summary>Makes sure that no output is one of the files that the command reads, also under another name.</summary>
    /// <param name="inputs">Paths; null and empty ones are skipped.</param>
    /// <exception cref="OutputFaultException">An output is an input.</exception>
    internal void Spare(params IEnumerable<string?> inputs)
    {
        foreach (string input in inputs.Where(i => !string.IsNullOrEmpty(i)).Distinct().OfType<string>())
        {
            if (PlaceOf(input) is FilePlace place)
            {
                Spare(input, place);
            }
        }
    }

    /// <summary>Makes sure that an existing file is replaced only where it may be an earlier result of that option: a mistyped name must
    /// not destroy an airframe, a job or a log that this command does not read.</summary>
    /// <exception cref="OutputFaultException">Such a file holds something else.</exception>
    internal void SpareOtherKinds()
    {
        foreach (Target target in _targets.Where(t => t.Place?.Kind == FilePlaceKind.File))
        {
            if (EarlierResult.KindExpected(target.Option, target.Place!.Path) is string kind)
            {
                throw new OutputFaultException(
                    $"{target.Option}: {target.Path} exists and is not {kind}, so it is not overwritten. Give the result another name."
                );
            }
        }
    }

    private void Spare(string name, FilePlace place)
    {
        if (_targets.FirstOrDefault(t => t.Place is FilePlace target && target.IsSameFileAs(place)) is Target lost)
        {
            throw new OutputFaultException(
                lost.Path == name || lost.Place?.Path == name
                    ? $"{lost.Option}: {name} is read by this command and is not overwritten. Give the result another name."
                    : $"{lost.Option}: {lost.Path} is {name}, which is read by this command and is not overwritten. Give the result "
                        + $"another name."
            );
        }
    }

    private static Target TargetOf(string option, string path)
    {
        if (string.IsNullOrWhiteSpace(path))
        {
            throw new OutputFaultException($"{option} names no file. Give a path, or - for standard output.");
        }

        if (StandardStreams.IsOutput(path) || StandardStreams.IsError(path))
        {
            return new(option, path, null);
        }

        FilePlace place = PlaceOf(path) ?? throw Unwritable(option, path, "this is not a path");
        string? folder = Path.GetDirectoryName(place.Path);
        return place.Kind switch
        {
            FilePlaceKind.Folder => throw Unwritable(option, path, "it is a folder"),
            FilePlaceKind.Nothing when Path.EndsInDirectorySeparator(path) => throw Unwritable(
                option,
                path,
                "this is the name of a folder"
            ),
            FilePlaceKind.Nothing when !Directory.Exists(folder) => throw Unwritable(option, path, "there is no such folder"),
            _ => new(option, path, place),
        };
    }

    private static void RequireTwoPlaces(Target a, Target b)
    {
        bool bothOutput = StandardStreams.IsOutput(a.Path) && StandardStreams.IsOutput(b.Path);
        bool redirected = a.Option == b.Option;
        if (!redirected && (bothOutput || (a.Place is FilePlace first && b.Place is FilePlace second && first.IsSameFileAs(second))))
        {
            throw new OutputFaultException(
                $"{a.Option} and {b.Option} would go to one place, {(bothOutput ? "standard output" : b.Path)}, and one would be lost. "
                    + $"Give two names."
            );
        }
    }

    private static OutputFaultException Unwritable(string option, string path, string why) =>
        new($"{option}: {path} cannot be written ({why}). Give the path of a file in a folder that exists and that you may write to.");

    private static FilePlace? PlaceOf(string path)
    {
        try
        {
            return FilePlace.Of(path);
        }
        catch (Exception e) when (e is ArgumentException or IOException or NotSupportedException)
        {
            return null;
        }
    }

    private sealed record Target(string Option, string Path, FilePlace? Place);
}
