using System.Globalization;
using BenchmarkDotNet.Reports;
using BenchmarkDotNet.Running;
using VibeCheck.Benchmarks;

// benchmarks spectra    spectra of a long flight; run in Release
// benchmarks reading    a log of a million rows, beside plain CsvHelper and pandas; reading-quick [ROWS] prints MB/s at once
// benchmarks reading-pair [ROWS]  the own loop beside CsvHelper, like for like, on a clean and on a damaged log
// benchmarks compare    vibecheck compare as a new process on two flights of 10 minutes: wall time, processor time, peak memory
// benchmarks flight     vibecheck flight as a new process on a very long log (30 million rows at 8 kHz, 1.8 GB in the temporary folder)
// benchmarks workbench-start PATH-OF-VIBECHECK [STARTS]  the published workbench on an empty folder, until a tap is answered; needs chromium
switch (args)
{
    case ["compare", string vibecheck]:
        return WholeCompare.Run(vibecheck, minutes: 10, rateHz: 1000);
    case ["flight", string vibecheck, .. var rest]:
        return WholeFlight.Run(
            vibecheck,
            rest is [string rows] ? long.Parse(rows, CultureInfo.InvariantCulture) : 30_000_000,
            rateHz: 8000
        );
    case ["workbench-start", string vibecheck, .. var rest]:
        return await WorkbenchStart
            .RunAsync(vibecheck, rest is [string starts] ? int.Parse(starts, CultureInfo.InvariantCulture) : 10)
            .ConfigureAwait(false);
    case ["spectra"]:
        return Ran(BenchmarkRunner.Run<SpectraBench>());
    case ["reading"]:
        return Ran(BenchmarkRunner.Run<ReadingBench>());
    case ["reading-quick", .. var rest]:
        return ReadingBench.Quick(rest, Console.Out);
    case ["reading-pair", .. var rest]:
        return ReaderPair.Run(rest, Console.Out);
    default:
        Console.Error.WriteLine(
            "usage: benchmarks compare PATH-OF-VIBECHECK | flight PATH-OF-VIBECHECK [ROWS] | spectra | reading | reading-quick [ROWS] "
                + "| reading-pair [ROWS] | workbench-start PATH-OF-VIBECHECK [STARTS]"
        );
        return 2;
}

// A benchmark that could not be run must not end with exit code 0.
static int Ran(Summary summary) =>
    !summary.HasCriticalValidationErrors && summary.Reports.Length > 0 && summary.Reports.All(r => r.Success) ? 0 : 1;
