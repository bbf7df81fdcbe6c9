using BenchmarkDotNet.Running;
using VibeCheck.Benchmarks;

// benchmarks spectra    spectra of a long flight; run in Release
// benchmarks reading    a log of a million rows, beside plain CsvHelper and pandas; reading-quick [ROWS] prints MB/s at once
// benchmarks compare    vibecheck compare as a new process on two flights of 10 minutes: wall time, processor time, peak memory
switch (args)
{
    case ["compare", string vibecheck]:
        return WholeCompare.Run(vibecheck, minutes: 10, rateHz: 1000);
    case ["spectra"]:
        BenchmarkRunner.Run<SpectraBench>();
        return 0;
    case ["reading"]:
        BenchmarkRunner.Run<ReadingBench>();
        return 0;
    case ["reading-quick", .. var rest]:
        return ReadingBench.Quick(rest, Console.Out);
    default:
        Console.Error.WriteLine("usage: benchmarks compare PATH-OF-VIBECHECK | spectra | reading | reading-quick [ROWS]");
        return 2;
}
