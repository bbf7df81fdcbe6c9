using System.Collections;
using System.Diagnostics;
using System.Globalization;
using System.Reflection;
using System.Runtime.CompilerServices;
using System.Text.Json;

namespace VibeCheck.Mutation;

/// <summary>Runs the mutants of one library against the tests that reach them, all in one process; used by tools/mutation/run.</summary>
/// <remarks>Stryker puts all mutants into one library, each behind a switch. Its own runner starts a process for each mutant; this one sets
/// the switch in the same process.</remarks>
internal static class MutantRunner
{
    // A mutant that takes this much processor time for its tests is in an endless loop: all tests together take some seconds.
    private const double MostS = 12;

    private static int Main(string[] args) =>
        args[0] switch
        {
            "listed" => MutationScore.WriteListedIds(args[1], args[2]),
            "run" => Run(args[1], DateTime.UtcNow.AddMinutes(double.Parse(args[2], CultureInfo.InvariantCulture))),
            "work" => Work(args[1], DateTime.Parse(args[2], CultureInfo.InvariantCulture)),
            "survivors" => MutationScore.WriteSurvivorIds(args[1], args[2]),
            _ => MutationScore.Write(args[1], args[2], args[3], args[4]),
        };

    /// <summary>Starts a worker, and a new one after each mutant that hangs or that ends its process, until the time is over.</summary>
    private static int Run(string results, DateTime until)
    {
        while (true)
        {
            using Process worker = Start(results, until);
            bool hung = RunsInCircle(worker, results + ".at");
            if (!hung && worker.ExitCode == 0)
            {
                return 0;
            }

            string[] at = File.ReadAllText(results + ".at").Split(' ');
            if (at[0] != "mutant")
            {
                Console.Error.WriteLine($"the worker ended at {string.Join(' ', at)}");
                return 1;
            }

            File.AppendAllText(results, $"{at[1]},{(hung ? "Timeout" : "Crashed")},\n");
        }
    }

    private static Process Start(string results, DateTime until)
    {
        var start = new ProcessStartInfo("dotnet");
        string[] arguments =
        [
            "exec",
            "--depsfile",
            "VibeCheck.Core.Tests.deps.json",
            "--runtimeconfig",
            "VibeCheck.Core.Tests.runtimeconfig.json",
            "MutantRunner.dll",
            "work",
            results,
            until.ToString("O", CultureInfo.InvariantCulture),
        ];
        foreach (string argument in arguments)
        {
            start.ArgumentList.Add(argument);
        }

        // A mutant that fills the memory ends its worker at 1.5 GB, before it harms the machine.
        start.Environment["DOTNET_GCHeapHardLimit"] = "0x60000000";
        return Process.Start(start)!;
    }

    private static bool RunsInCircle(Process worker, string place)
    {
        string last = "";
        TimeSpan since = TimeSpan.Zero;
        while (!worker.WaitForExit(300))
        {
            string at = File.Exists(place) ? File.ReadAllText(place) : "";
            worker.Refresh();
            TimeSpan spent = worker.HasExited ? since : worker.TotalProcessorTime;
            if (at != last)
            {
                (last, since) = (at, spent);
            }
            else if (at.StartsWith("mutant ", StringComparison.Ordinal) && (spent - since).TotalSeconds > MostS)
            {
                worker.Kill();
                worker.WaitForExit();
                return true;
            }
        }

        return false;
    }

    private static int Work(string results, DateTime until)
    {
        string folder = AppContext.BaseDirectory;
        var mutants = new MutantSwitch(Assembly.LoadFrom(Path.Combine(folder, "VibeCheck.Core.dll")));
        var tests = Assembly.LoadFrom(Path.Combine(folder, "VibeCheck.Core.Tests.dll"));
        mutants.Active = -1;
        TestCase[] cases = [.. TestCase.Of(tests)];
        Coverage coverage = Coverage.Of(results, tests, cases, mutants);
        HashSet<string> done = File.Exists(results) ? [.. File.ReadLines(results).Select(l => l.Split(',')[0])] : [];
        int[] ids = [.. coverage.InRandomOrder(results + ".only").Where(id => !done.Contains(id.ToString(CultureInfo.InvariantCulture)))];
        using var output = new StreamWriter(results, append: true) { AutoFlush = true };
        for (int i = 0; i < ids.Length && DateTime.UtcNow < until.ToUniversalTime(); i++)
        {
            File.WriteAllText(results + ".at", $"mutant {ids[i]}");
            mutants.Active = ids[i];
            TestCase? killer = coverage.TestsOf(ids[i]).FirstOrDefault(c => c.Run() is not null);
            mutants.Active = -1;
            string status =
                killer is not null ? "Killed"
                : coverage.IsStatic(ids[i]) ? "SurvivedStatic"
                : "Survived";
            output.WriteLine($"{ids[i]},{status},{killer?.Name.Replace(',', ';')}");
        }

        return 0;
    }
}

/// <summary>The switch that Stryker built into the mutated library.</summary>
internal sealed class MutantSwitch(Assembly library)
{
    private const BindingFlags Any = BindingFlags.Static | BindingFlags.Public | BindingFlags.NonPublic;
    private readonly Type _control = library.GetTypes().Single(t => t.Name == "MutantControl");

    /// <summary>Number of the active mutant; -1 for none.</summary>
    internal int Active
    {
        set => _control.GetField("ActiveMutant", Any)!.SetValue(null, value);
    }

    private bool Notes
    {
        set => _control.GetField("CaptureCoverage", Any)!.SetValue(null, value);
    }

    /// <summary>Mutants that the action reaches, and those among them in static initialisers, which run once per process.</summary>
    internal (int[] All, int[] Static) Met(Action run)
    {
        _control.GetMethod("ResetCoverage", Any)!.Invoke(null, null);
        Notes = true;

        // Recording coverage is slow in tests of many random cases; such a test reaches its mutants in the first cases.
        using (new Timer(_ => Notes = false, null, 2500, Timeout.Infinite))
        {
            run();
        }

        Notes = false;
        var lists = (IList<int>[])_control.GetMethod("GetCoverageData", Any)!.Invoke(null, null)!;
        return ([.. lists[0], .. lists[1]], [.. lists[1]]);
    }
}

/// <summary>Records which tests reach which mutants; stored in a file, so that the next worker need not measure it again.</summary>
internal sealed class Coverage
{
    private readonly Dictionary<int, List<TestCase>> _tests = [];
    private readonly HashSet<int> _static = [];

    internal bool IsStatic(int mutant) => _static.Contains(mutant);

    /// <summary>The tests of a mutant, quick ones first.</summary>
    internal IEnumerable<TestCase> TestsOf(int mutant) => _tests.GetValueOrDefault(mutant, []).OrderBy(c => c.CostS);

    /// <summary>A random order that is the same in every run, so that a run stopped early has tried a random sample.</summary>
    /// <param name="only">File with the mutants to try; no test reaches some of them.</param>
    internal int[] InRandomOrder(string only)
    {
        int[] ids =
        [
            .. File.ReadLines(only)
                .Select(l => int.Parse(l, CultureInfo.InvariantCulture))
                .Where(id => _tests.ContainsKey(id) || _static.Contains(id))
                .Order(),
        ];
        new Random(1).Shuffle(ids);
        return ids;
    }

    internal static Coverage Of(string results, Assembly tests, TestCase[] cases, MutantSwitch mutants)
    {
        string path = results + ".coverage";
        if (!File.Exists(path))
        {
            File.WriteAllLines(path, Find(results, tests, cases, mutants));
        }

        var coverage = new Coverage();
        foreach (string[] cells in File.ReadAllLines(path).Select(l => l.Split('|')))
        {
            int[] met =
            [
                .. cells[2].Split(' ', StringSplitOptions.RemoveEmptyEntries).Select(s => int.Parse(s, CultureInfo.InvariantCulture)),
            ];
            if (cells[0] == "static")
            {
                coverage._static.UnionWith(met);
                continue;
            }

            TestCase test = cases[int.Parse(cells[0], CultureInfo.InvariantCulture)];
            test.CostS = double.Parse(cells[1], CultureInfo.InvariantCulture);
            foreach (int id in met)
            {
                (coverage._tests.TryGetValue(id, out List<TestCase>? list) ? list : coverage._tests[id] = []).Add(test);
            }
        }

        return coverage;
    }

    private static List<string> Find(string results, Assembly tests, TestCase[] cases, MutantSwitch mutants)
    {
        var lines = new List<string>();
        IEnumerable<Type> types = tests.GetTypes().Where(t => t.TypeInitializer is not null && !t.ContainsGenericParameters);
        var often = new HashSet<int>();
        var once = new HashSet<int>(mutants.Met(() => types.ToList().ForEach(t => RuntimeHelpers.RunClassConstructor(t.TypeHandle))).All);
        for (int c = 0; c < cases.Length; c++)
        {
            File.WriteAllText(results + ".at", "coverage " + cases[c].Name);
            Exception? failure = null;
            (int[] all, int[] fixedOnes) = mutants.Met(() => failure = cases[c].Run());
            once.UnionWith(fixedOnes);
            often.UnionWith(all.Except(fixedOnes));
            if (failure is not null)
            {
                throw new InvalidOperationException($"{cases[c].Name} fails without a mutant", failure);
            }

            TimeSpan before = Process.GetCurrentProcess().TotalProcessorTime;
            _ = cases[c].Run();
            double costS = (Process.GetCurrentProcess().TotalProcessorTime - before).TotalSeconds;
            lines.Add(string.Create(CultureInfo.InvariantCulture, $"{c}|{costS:0.0000}|{string.Join(' ', all.Order())}"));
        }

        lines.Add("static|0|" + string.Join(' ', once.Except(often).Order()));
        return lines;
    }
}

/// <summary>A test, or one row of a theory.</summary>
internal sealed class TestCase(MethodInfo method, object?[] arguments)
{
    private const BindingFlags AnyStatic = BindingFlags.Static | BindingFlags.Public | BindingFlags.NonPublic;

    internal string Name =>
        $"{method.DeclaringType!.Name}.{method.Name}({string.Join("; ", arguments.Select(a => Convert.ToString(a, CultureInfo.InvariantCulture)))})";

    /// <summary>Processor time of a run without an active mutant, s.</summary>
    internal double CostS { get; set; }

    /// <summary>Runs the test; returns what it threw, or null where it passed.</summary>
    internal Exception? Run()
    {
        try
        {
            object test = Activator.CreateInstance(method.DeclaringType!)!;
            (method.Invoke(test, arguments) as Task)?.GetAwaiter().GetResult();
            (test as IDisposable)?.Dispose();
            return null;
        }
        catch (TargetInvocationException e)
        {
            return e.InnerException;
        }
        catch (Exception e)
        {
            return e;
        }
    }

    internal static IEnumerable<TestCase> Of(Assembly tests)
    {
        const BindingFlags Own = BindingFlags.Instance | BindingFlags.Public | BindingFlags.DeclaredOnly;
        foreach (
            MethodInfo method in tests
                .GetTypes()
                .Where(t => !t.IsAbstract && t.Name != "TestCultureTests")
                .SelectMany(t => t.GetMethods(Own))
        )
        {
            Attribute[] attributes = [.. method.GetCustomAttributes()];
            Attribute? fact = attributes.FirstOrDefault(a => a.GetType().Name is "FactAttribute" or "TheoryAttribute");
            if (fact is null || Read(fact, "Skip") is not null)
            {
                continue;
            }

            IEnumerable<object?[]> rows =
                fact.GetType().Name == "FactAttribute"
                    ?
                    [
                        [],
                    ]
                    : attributes.SelectMany(a => Rows(method, a));
            foreach (object?[] row in rows)
            {
                yield return new(method, Fit(method, row));
            }
        }
    }

    private static object? Read(object of, string property) => of.GetType().GetProperty(property)?.GetValue(of);

    private static IEnumerable<object?[]> Rows(MethodInfo method, Attribute attribute)
    {
        switch (attribute.GetType().Name)
        {
            case "InlineDataAttribute":
                return [(object?[])Read(attribute, "Data")!];
            case "MemberDataAttribute":
                string name = (string)Read(attribute, "MemberName")!;
                Type at = (Type?)Read(attribute, "MemberType") ?? method.DeclaringType!;
                object rows =
                    at.GetProperty(name, AnyStatic)?.GetValue(null)
                    ?? at.GetField(name, AnyStatic)?.GetValue(null)
                    ?? at.GetMethod(name, AnyStatic)!.Invoke(null, (object?[]?)Read(attribute, "Arguments"))!;
                return ((IEnumerable)rows).Cast<object>().Select(Cells);
            default:
                return [];
        }
    }

    private static object?[] Cells(object row) =>
        row as object?[] ?? (object?[])row.GetType().GetMethod("GetData", Type.EmptyTypes)!.Invoke(row, null)!;

    private static object?[] Fit(MethodInfo method, object?[] cells) =>
        [.. method.GetParameters().Select((p, i) => i < cells.Length ? Fit(p.ParameterType, cells[i]) : p.DefaultValue)];

    private static object? Fit(Type wanted, object? cell)
    {
        Type type = Nullable.GetUnderlyingType(wanted) ?? wanted;
        return cell is null || type.IsInstanceOfType(cell) ? cell
            : type.IsEnum ? Enum.ToObject(type, cell)
            : Convert.ChangeType(cell, type, CultureInfo.InvariantCulture);
    }
}

/// <summary>Writes the score by folder and the list of survivors.</summary>
internal static class MutationScore
{
    /// <summary>Writes the mutants of the selected folders, one per line; the library also holds mutants of other folders.</summary>
    internal static int WriteListedIds(string report, string path)
    {
        using JsonDocument json = JsonDocument.Parse(File.ReadAllText(report));
        File.WriteAllLines(path, Listed(json).Select(m => m.Mutant.GetProperty("id").GetString()!));
        return 0;
    }

    private static IEnumerable<(string Path, JsonElement Mutant)> Listed(JsonDocument report) =>
        from file in report.RootElement.GetProperty("files").EnumerateObject()
        let path = file.Name[(file.Name.LastIndexOf("VibeCheck.Core/", StringComparison.Ordinal) + "VibeCheck.Core/".Length)..]
        from mutant in file.Value.GetProperty("mutants").EnumerateArray()
        where mutant.GetProperty("status").GetString() is not ("Ignored" or "CompileError")
        select (path, mutant);

    /// <summary>Writes the mutants that survived, one per line, for a run with further tests on them alone.</summary>
    internal static int WriteSurvivorIds(string results, string path)
    {
        File.WriteAllLines(path, Statuses(results).Where(s => IsSurvivor(s.Value)).Select(s => s.Key));
        return 0;
    }

    /// <param name="results">Results of the run on all mutants; the results of <paramref name="again"/> replace them.</param>
    /// <param name="again">Results of a run on the survivors alone; the file may be missing.</param>
    /// <param name="report">Stryker's list of mutants.</param>
    /// <param name="folder">Folder for the lists.</param>
    internal static int Write(string results, string again, string report, string folder)
    {
        Dictionary<string, string> status = Statuses(results);
        HashSet<string> reached = [.. Reached(results)];
        if (File.Exists(again))
        {
            foreach ((string id, string found) in Statuses(again))
            {
                status[id] = found;
            }
        }

        var rows = new List<(string Folder, string Status)>();
        var survivors = new List<string>();
        using JsonDocument json = JsonDocument.Parse(File.ReadAllText(report));
        foreach ((string path, JsonElement mutant) in Listed(json))
        {
            string id = mutant.GetProperty("id").GetString()!,
                found = status.GetValueOrDefault(id, reached.Contains(id) ? "NotTried" : "NotReached");
            rows.Add((Path.GetDirectoryName(path)!, found));
            if (IsSurvivor(found) || found == "NotReached")
            {
                int line = mutant.GetProperty("location").GetProperty("start").GetProperty("line").GetInt32();
                string replacement = mutant.GetProperty("replacement").GetString()!.ReplaceLineEndings(" ");
                survivors.Add($"{path}:{line} {found} {mutant.GetProperty("mutatorName").GetString()}: {replacement}");
            }
        }

        string[] lines =
        [
            .. rows.GroupBy(r => r.Folder)
                .OrderBy(g => g.Key, StringComparer.Ordinal)
                .Select(g => Line(g.Key, [.. g.Select(r => r.Status)])),
            Line("all", [.. rows.Select(r => r.Status)]),
        ];
        File.WriteAllLines(Path.Combine(folder, "score.txt"), lines);
        File.WriteAllLines(Path.Combine(folder, "survivors.txt"), survivors);
        Console.WriteLine(string.Join('\n', lines));
        return 0;
    }

    private static Dictionary<string, string> Statuses(string results) =>
        File.ReadLines(results).Select(l => l.Split(',')).ToDictionary(c => c[0], c => c[1]);

    private static IEnumerable<string> Reached(string results) =>
        File.ReadLines(results + ".coverage").SelectMany(l => l.Split('|')[2].Split(' ', StringSplitOptions.RemoveEmptyEntries));

    private static bool IsSurvivor(string status) => status is "Survived" or "SurvivedStatic";

    private static string Line(string name, string[] statuses)
    {
        int Of(params string[] these) => statuses.Count(these.Contains);
        int found = Of("Killed", "Timeout", "Crashed"),
            missed = Of("NotReached"),
            tried = statuses.Length - missed - Of("NotTried");
        (double low, double high) = Wilson(found, tried);
        return string.Create(
            CultureInfo.InvariantCulture,
            $"{name}: {statuses.Length} mutants, {missed} not reached, {tried} of {statuses.Length - missed} tried, {found} found "
                + $"({100.0 * found / Math.Max(1, tried):0} %, {low:0} to {high:0}), "
                + $"{Of("Survived")} survived, {Of("SurvivedStatic")} survived in static fields"
        );
    }

    /// <summary>95 % interval of a proportion in per cent (Wilson 1927).</summary>
    private static (double Low, double High) Wilson(int found, int tried)
    {
        double n = Math.Max(1, tried),
            share = found / n,
            z2 = 1.96 * 1.96,
            middle = (share + z2 / 2 / n) / (1 + z2 / n),
            half = 1.96 * Math.Sqrt(share * (1 - share) / n + z2 / 4 / n / n) / (1 + z2 / n);
        return (100 * (middle - half), 100 * (middle + half));
    }
}
