using System.Diagnostics;
using System.Globalization;
using VibeCheck.FlightMaker;
using VibeCheck.FlightMaker.Healthy;

namespace VibeCheck.Campaigns.Damage;

/// <summary>How many answers undamaged jobs get, compared with an earlier list: <c>campaigns healthy</c>.</summary>
internal static class HealthyCampaign
{
    internal const string Usage =
        "healthy [--jobs N] [--first JOB] [--threads N] [--each] [--against FILE.csv] [--write FILE.csv] [--keep FOLDER]";

    internal static int Run(string[] args, TextWriter output)
    {
        int jobs = 200,
            first = 0,
            threads = Environment.ProcessorCount;
        bool each = false;
        string? against = null,
            write = null,
            keep = null;
        for (int i = 0; i < args.Length; i++)
        {
            string next = i + 1 < args.Length ? args[i + 1] : "";
            switch (args[i])
            {
                case "--each":
                    each = true;
                    continue;
                case "--jobs":
                    jobs = int.Parse(next, CultureInfo.InvariantCulture);
                    break;
                case "--first":
                    first = int.Parse(next, CultureInfo.InvariantCulture);
                    break;
                case "--threads":
                    threads = int.Parse(next, CultureInfo.InvariantCulture);
                    break;
                case "--against":
                    against = next;
                    break;
                case "--write":
                    write = next;
                    break;
                case "--keep":
                    keep = next;
                    break;
                default:
                    Console.Error.WriteLine("usage: campaigns " + Usage);
                    return 2;
            }

            i++;
        }

        var clock = Stopwatch.StartNew();
        var results = new HealthyResult[jobs];
        int done = 0;
        Parallel.For(
            0,
            jobs,
            new ParallelOptions { MaxDegreeOfParallelism = threads },
            i =>
            {
                results[i] = One(first + i, keep);
                int count = Interlocked.Increment(ref done);
                if (each || results[i].Answers.End != RunEnd.Answered)
                {
                    Console.Error.WriteLine(results[i].ToString());
                }

                if (count % 20 == 0)
                {
                    Console.Error.WriteLine(FormattableString.Invariant($"{count} of {jobs} jobs, {clock.Elapsed.TotalSeconds:0} s"));
                }
            }
        );
        HealthyTable.Write(results, against is null ? [] : HealthyTable.Answered(against), output);
        if (write is not null)
        {
            File.WriteAllLines(write, HealthyTable.Lines(results));
        }

        return 0;
    }

    /// <summary>Runs one job; where a folder is given, its files are kept in a subfolder.</summary>
    private static HealthyResult One(int number, string? keep)
    {
        var clock = Stopwatch.StartNew();
        HealthyJob job = HealthyJob.Make(number);
        string folder = keep is null
            ? Path.Combine(Path.GetTempPath(), $"vibecheck-healthy-{Environment.ProcessId}-{number}")
            : Path.Combine(keep, number.ToString(CultureInfo.InvariantCulture));
        Directory.CreateDirectory(folder);
        try
        {
            FlightEntry before = Entry(job.Before, job.FormBefore, "before"),
                after = Entry(job.After, job.FormAfter, "after");
            string path = JobFolder.WriteJob(folder, job.Before.Airframe, before, after, asStagesInWrongOrder: false);
            return new(job, JobRun.Of(path), clock.Elapsed.TotalSeconds);
        }
        finally
        {
            if (keep is null)
            {
                Directory.Delete(folder, true);
            }
        }

        FlightEntry Entry(FlightRecipe recipe, LogFormRecipe form, string name)
        {
            (string imu, string? esc) = LogForms.Write(SimulatedFlight.Make(recipe), form, Path.Combine(folder, name));
            return new(imu, esc, job.GivesAmbient ? recipe.AmbientC : null, null);
        }
    }
}

/// <summary>The answers to a healthy job.</summary>
internal sealed record HealthyResult(HealthyJob Job, JobAnswers Answers, double Seconds)
{
    internal double[] Truth => [Job.ChangeDb, Job.ChangeC, Job.ChangeC];

    /// <summary>Whether the answer is known; for a refused job none is.</summary>
    internal bool Known(int answer) => Answers.End == RunEnd.Answered && Answers.Main[answer].Ci95 is not null;

    internal bool Holds(int answer) => Answers.Main[answer].Ci95 is { } ci && ci.Contains(Truth[answer]);

    public override string ToString()
    {
        string forms = Job.FormAfter.Name == Job.FormBefore.Name ? Job.FormBefore.Name : $"{Job.FormBefore.Name} / {Job.FormAfter.Name}";
        string job = FormattableString.Invariant(
            $"job {Job.Number} ({Job.Traits}; {forms}; {Job.Before.Airframe.Name}, {Job.Before.ImuRateHz} Hz), {Seconds:0.0} s: "
        );
        return job
            + (
                Answers.End == RunEnd.Answered
                    ? string.Join("; ", Answers.Main.Select((a, i) => FormattableString.Invariant($"{a} (true {Truth[i]:0.#})")))
                        + Reasons()
                    : $"{Answers.End}: {Answers.Why}"
            );
    }

    /// <summary>Why answers are missing: what the run warned about.</summary>
    private string Reasons() =>
        Enumerable.Range(0, 3).All(Known)
            ? ""
            : "; " + string.Join(", ", Answers.Unknown.Concat(Answers.Warnings.Order(StringComparer.Ordinal)));
}
