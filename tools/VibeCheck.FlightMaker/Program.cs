using System.Globalization;
using VibeCheck.FlightMaker;

// flightmaker samples DIR            writes the sample jobs
// flightmaker long DIR [MINUTES] [HZ]  writes a job of two long flights, for timing
switch (args)
{
    case ["samples", string directory]:
        foreach (SampleJob job in SampleJobs.All)
        {
            job.Write(directory);
        }

        return 0;
    case ["long", string directory, .. var rest]:
        double minutes = rest.Length > 0 ? double.Parse(rest[0], CultureInfo.InvariantCulture) : 10;
        double rateHz = rest.Length > 1 ? double.Parse(rest[1], CultureInfo.InvariantCulture) : 1000;
        SampleJob sample = SampleJobs.Reshim;
        (
            sample with
            {
                Folder = "long-job",
                Before = sample.Before with { HoverS = minutes * 60 - 14, ImuRateHz = rateHz },
                After = sample.After with { HoverS = minutes * 60 - 14, ImuRateHz = rateHz },
            }
        ).Write(directory);
        return 0;
    default:
        Console.Error.WriteLine("usage: flightmaker samples DIR | flightmaker long DIR [MINUTES] [HZ]");
        return 2;
}
