using System.Diagnostics;
using System.Globalization;
using VibeCheck.FlightMaker.Damage;

namespace VibeCheck.Campaigns.Damage;

/// <summary>How often a damaged log gets a confident wrong answer: <c>campaigns damage</c>. One side of a job with known truth is damaged
/// at a time.</summary>
internal static class DamageCampaign
{
    private static readonly bool[] Sides = [false, true];

    internal static int Run(string[] args, TextWriter output)
    {
        if (DamageOptions.Parse(args) is not { } options)
        {
            Console.Error.WriteLine("usage: campaigns " + DamageOptions.Usage);
            return 2;
        }

        DamageKind[] kinds = [.. DamageKinds.All.Where(k => options.Takes(k.Subject + ": " + k.Name))];
        if (options.List)
        {
            foreach (DamageKind kind in kinds)
            {
                string severities = string.Join("; ", kind.Severities.Select(s => s.Label + (s.Hidden is null ? "" : ", hidden")));
                output.WriteLine($"{kind.Subject}: {kind.Name} [{severities}]");
            }

            output.WriteLine(FormattableString.Invariant($"{kinds.Length} kinds, {kinds.Sum(k => k.Severities.Count)} with severities"));
            return 0;
        }

        if (options.Keep is not null)
        {
            return Run(options, kinds, Path.GetFullPath(options.Keep), output);
        }

        if (options.From.Count > 0)
        {
            Show(options, CaseList.Read(options.From, kinds), output);
            return 0;
        }

        string folder = Path.Combine(Path.GetTempPath(), FormattableString.Invariant($"vibecheck-damage-{Environment.ProcessId}"));
        try
        {
            return Run(options, kinds, folder, output);
        }
        finally
        {
            Directory.Delete(folder, true);
        }
    }

    private static int Run(DamageOptions options, DamageKind[] kinds, string folder, TextWriter output)
    {
        var clock = Stopwatch.StartNew();
        Directory.CreateDirectory(folder);
        var prepared = new PreparedJob[options.Jobs];
        ParallelOptions threads = new() { MaxDegreeOfParallelism = options.Threads };
        Parallel.For(0, options.Jobs, threads, i => prepared[i] = new(options.First + i, folder, options.Keep is not null));
        Undamaged(prepared, output, clock.Elapsed.TotalSeconds);
        prepared = [.. prepared.Where(j => j.Undamaged.End == RunEnd.Answered)];
        List<DamageCase> cases = Draw(options, kinds, prepared);
        var results = new CaseResult[cases.Count];
        int done = 0;
        using CaseList list = new(options.Cases);
        Parallel.For(
            0,
            cases.Count,
            threads,
            i =>
            {
                results[i] = Run(cases[i], prepared, options.Threads == 1);
                list.Add(results[i]);
                Report(options, results[i], cases[i].Seed, Interlocked.Increment(ref done), cases.Count, clock);
            }
        );
        Show(options, results, output);
        double seconds = clock.Elapsed.TotalSeconds;
        output.WriteLine(FormattableString.Invariant($"{seconds / Math.Max(1, cases.Count):0.00} s a case, {seconds:0} s in all"));
        return 0;
    }

    private static void Show(DamageOptions options, IReadOnlyList<CaseResult> results, TextWriter output)
    {
        string table = DamageTable.Of(results);
        output.WriteLine(table);
        if (options.Out is string file)
        {
            File.WriteAllText(file, table);
        }
    }

    /// <summary>A job of another aircraft with the same number of motors, so that its files would fit.</summary>
    private static PreparedJob? OtherJob(PreparedJob job, PreparedJob[] all)
    {
        PreparedJob[] fitting = [.. all.Where(o => o != job && o.Sheets[0].Motors == job.Sheets[0].Motors)];
        return fitting.Length == 0 ? null : fitting[job.Job.Number % fitting.Length];
    }

    /// <summary>Runs a case and times it: by processor time where it runs alone, so that other load of the machine does not count;
    /// otherwise by the clock.</summary>
    private static CaseResult Run(DamageCase c, PreparedJob[] all, bool isAlone)
    {
        var clock = Stopwatch.StartNew();
        TimeSpan start = Environment.CpuUsage.TotalTime;
        JobAnswers answers = c.Job.RunDamaged(c.After, c.Kind, c.Severity, OtherJob(c.Job, all), c.Seed);
        TimeSpan took = isAlone ? Environment.CpuUsage.TotalTime - start : clock.Elapsed;
        return CaseResult.Of(c.Kind, c.Severity, c.Job, c.After, answers, took.TotalSeconds);
    }

    /// <summary>The cases to run: the same share of jobs and sides for every kind and severity, in random order.</summary>
    private static List<DamageCase> Draw(DamageOptions options, DamageKind[] kinds, PreparedJob[] jobs)
    {
        var random = new Random(options.Seed);
        var perRow = new List<DamageCase[]>();
        foreach (DamageKind kind in kinds)
        {
            foreach (Severity severity in kind.Severities.Where(s => s.Label.StartsWith(options.Severity, StringComparison.Ordinal)))
            {
                DamageCase[] row =
                [
                    .. jobs.Where(j => !kind.NeedsTwoFiles || !j.Sheets[0].OneFile)
                        .SelectMany(j => Sides.Select(after => new DamageCase(kind, severity, j, after)))
                        .Where(c => options.Side.Length == 0 || c.After == (options.Side == "after")),
                ];
                random.Shuffle(row);
                perRow.Add(row);
            }
        }

        double share = options.Draw is int n ? (double)n / perRow.Sum(r => r.Length) : options.Share;
        DamageCase[] drawn = [.. perRow.SelectMany(r => r.Take(Whole(share * r.Length, random)))];
        random.Shuffle(drawn);
        return [.. drawn];
    }

    /// <summary>A random count whose mean is the given amount; a whole number stays as it is.</summary>
    private static int Whole(double amount, Random random) => (int)Math.Floor(amount + (amount % 1 == 0 ? 0 : random.NextDouble()));

    private static void Undamaged(PreparedJob[] jobs, TextWriter output, double seconds)
    {
        foreach (PreparedJob job in jobs)
        {
            string answers =
                job.Undamaged.End == RunEnd.Answered ? string.Join("; ", job.Undamaged.Main) : job.Undamaged.End + ": " + job.Undamaged.Why;
            DamageJob made = job.Job;
            output.WriteLine(
                string.Create(
                    CultureInfo.InvariantCulture,
                    $"job {made.Number}: {made.Airframe.Name}, {made.Before.ImuRateHz} Hz, {made.Form.Name}; "
                        + $"true {made.ChangeDb:0.#} dB, {made.ChangeC:0.#} °C; {answers}"
                )
            );
        }

        output.WriteLine(string.Create(CultureInfo.InvariantCulture, $"{jobs.Length} jobs made and compared undamaged in {seconds:0} s\n"));
        output.Flush();
    }

    private static void Report(DamageOptions options, CaseResult result, int seed, int done, int all, Stopwatch clock)
    {
        if (
            options.Each
            || (options.Wrong && (result.Outcome is Outcome.Wrong or Outcome.Crashed || result.WrongFurther.Length > 0))
            || result.Seconds > 30
        )
        {
            string kept = options.Keep is null ? "" : FormattableString.Invariant($", case-{seed}"),
                side = result.After ? "after" : "before";
            Console.Error.WriteLine(
                string.Create(
                    CultureInfo.InvariantCulture,
                    $"{result.Outcome}: {result.Kind.Name} {result.Severity.Label}, job {result.Job} {side}, {result.Seconds:0.0} s{kept}: "
                        + $"{result.Text}{(result.WrongFurther.Length > 0 ? "; not confirmed: " + result.WrongFurther : "")}"
                )
            );
        }

        if (done % 100 == 0)
        {
            Console.Error.WriteLine(FormattableString.Invariant($"{done} of {all} cases, {clock.Elapsed.TotalSeconds:0} s"));
        }
    }

    private sealed record DamageCase(DamageKind Kind, Severity Severity, PreparedJob Job, bool After)
    {
        /// <summary>The same case is damaged the same way in every run.</summary>
        internal int Seed
        {
            get
            {
                uint hash = 2166136261;
                foreach (char c in string.Create(CultureInfo.InvariantCulture, $"{Kind.Name}|{Severity.Label}|{Job.Job.Number}|{After}"))
                {
                    hash = unchecked((hash ^ c) * 16777619);
                }

                return (int)(hash & 0x7fffffff);
            }
        }
    }
}
