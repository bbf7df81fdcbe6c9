using System.Globalization;
using VibeCheck.Core.Airframes;
using VibeCheck.Core.Comparisons;
using VibeCheck.Core.Surveys;
using VibeCheck.Core.Tracks;
using VibeCheck.Logs.Airframes;
using VibeCheck.Logs.Columns;
using VibeCheck.Logs.Flights;
using VibeCheck.Logs.Inputs;
using VibeCheck.Logs.Surveys;

namespace VibeCheck.Logs.Jobs;

/// <summary>Reads everything a job names: airframe, survey and all flights.</summary>
public static class JobReader
{
    /// <summary>Reads a job's files; two flights at a time.</summary>
    /// <param name="job">The job.</param>
    /// <param name="options">What holds for all flights; what the job file says of a flight goes before it. Null for nothing.</param>
    /// <param name="cancellation">Ends the reading early.</param>
    /// <exception cref="InputFaultException">A file cannot be used, or two flights are the same or overlap.</exception>
    public static JobFlights Read(Job job, ReadOptions? options = null, CancellationToken cancellation = default) =>
        Read(job, options, FlightReader.Read, cancellation);

    /// <summary>The same with another source of flights, such as a cache of earlier readings.</summary>
    internal static JobFlights Read(
        Job job,
        ReadOptions? options,
        Func<FlightFiles, ReadOptions, Airframe, CancellationToken, Flight> read,
        CancellationToken cancellation = default
    )
    {
        ArgumentNullException.ThrowIfNull(job);
        Airframe? airframe = job.Airframe is string file ? AirframeFile.Read(file) : null;
        Survey? survey = job.Survey is string path && airframe is not null ? SurveyFile.Read(path, airframe) : null;
        JobFlight[] entries = [.. job.Before, .. job.After];
        Flight[] flights = ReadFlights(
            job,
            entries,
            options ?? ReadOptions.Default,
            (files, how, cancel) => airframe is null ? FlightReader.Read(files, how, null, cancel) : read(files, how, airframe, cancel),
            cancellation
        );
        airframe ??= LoggedMotors.Airframe(flights);
        return new JobFlights
        {
            Title = job.Title,
            Airframe = airframe,
            Survey = survey,
            Before = flights[..job.Before.Count],
            After = flights[job.Before.Count..],
        };
    }

    /// <summary>Reads the files of a job with stages.</summary>
    /// <param name="job">The job; its stages must not be empty.</param>
    /// <param name="options">What holds for all flights. Null for nothing.</param>
    /// <param name="cancellation">Ends the reading early.</param>
    /// <exception cref="InputFaultException">A file cannot be used, two flights are the same, or there is one stage only.</exception>
    public static HistoryFlights ReadHistory(Job job, ReadOptions? options = null, CancellationToken cancellation = default) =>
        ReadHistory(job, options, FlightReader.Read, cancellation);

    /// <summary>The same with another source of flights, such as a cache of earlier readings.</summary>
    internal static HistoryFlights ReadHistory(
        Job job,
        ReadOptions? options,
        Func<FlightFiles, ReadOptions, Airframe, CancellationToken, Flight> read,
        CancellationToken cancellation = default
    )
    {
        ArgumentNullException.ThrowIfNull(job);
        if (job.Stages.Count < 2)
        {
            throw new InputFaultException(
                new(job.Path, null, null, "the job has one stage only", "Add a second [[stage]] to compare it with.")
            );
        }

        Airframe airframe = AirframeFile.Read(
            job.Airframe
                ?? throw new InputFaultException(
                    new(job.Path, null, null, "the job names no airframe", "Add airframe = \"airframe.toml\" at the top.")
                )
        );
        Survey? survey = job.Survey is string path ? SurveyFile.Read(path, airframe) : null;
        JobFlight[] entries = [.. job.Stages.SelectMany(s => s.Flights)];
        Flight[] flights = ReadFlights(
            job,
            entries,
            options ?? ReadOptions.Default,
            (files, how, cancel) => read(files, how, airframe, cancel),
            cancellation
        );
        var stages = new List<StageFlights>();
        int next = 0;
        foreach (JobStage stage in job.Stages)
        {
            stages.Add(new(stage.Name, stage.Date, flights[next..(next + stage.Flights.Count)]));
            next += stage.Flights.Count;
        }

        return new HistoryFlights(job.Title, airframe, survey, stages);
    }

    /// <summary>Reads flights of a job and makes sure that no two are the same flight.</summary>
    internal static Flight[] ReadFlights(
        Job job,
        JobFlight[] entries,
        ReadOptions options,
        Func<FlightFiles, ReadOptions, CancellationToken, Flight> read,
        CancellationToken cancellation
    )
    {
        Flight[] flights = new Flight[entries.Length];
        Dictionary<string, ColumnsFile> columns = entries
            .Select(e => e.Columns)
            .OfType<string>()
            .Distinct()
            .ToDictionary(p => p, ColumnsFile.Read);
        try
        {
            Parallel.For(
                0,
                entries.Length,
                new ParallelOptions { MaxDegreeOfParallelism = 2, CancellationToken = cancellation },
                i =>
                    flights[i] = read(entries[i].Files, OptionsOf(entries[i], options, columns), cancellation) with
                    {
                        HoverWithin = entries[i].HoverS,
                    }
            );
        }
        catch (AggregateException e) when (e.InnerExceptions.OfType<InputFaultException>().FirstOrDefault() is InputFaultException fault)
        {
            throw new InputFaultException(fault.Faults[0], [.. fault.Faults.Skip(1)]);
        }

        RefuseTheSameTwice(job, entries, flights);
        return flights;
    }

    private static ReadOptions OptionsOf(JobFlight entry, ReadOptions options, Dictionary<string, ColumnsFile> columns) =>
        options with
        {
            Columns = entry.Columns is string path ? columns[path] : options.Columns,
            ImuUnit = entry.ImuUnit ?? options.ImuUnit,
            JoinParts = entry.JoinParts || options.JoinParts,
            AmbientC = entry.AmbientC ?? options.AmbientC,
            ClockOffsetS = entry.ClockOffsetS ?? options.ClockOffsetS,
        };

    private static void RefuseTheSameTwice(Job job, JobFlight[] entries, Flight[] flights)
    {
        for (int i = 0; i < flights.Length; i++)
        {
            for (int j = 0; j < i; j++)
            {
                if (FlightOverlap.Between(flights[j], flights[i]) is string how)
                {
                    string one = entries[j].Files.Imu[0],
                        two = entries[i].Files.Imu[0],
                        place = entries[j].Line is int line ? string.Create(CultureInfo.InvariantCulture, $" (line {line})") : "";
                    throw new InputFaultException(
                        new(
                            job.Path,
                            entries[i].Line,
                            null,
                            $"'{two}' and '{one}'{place} {how}",
                            "Name a different flight for each entry: the same one twice shows no change by itself."
                        )
                    );
                }
            }
        }
    }
}
