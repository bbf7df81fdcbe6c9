using BenchmarkDotNet.Running;
using VibeCheck.Benchmarks;

// benchmarks spectra    spectra of a long flight; run in Release
// benchmarks reading    a log of a million rows, beside plain CsvHelper and pandas; reading-quick [ROWS] prints MB/s at once
switch (args)
{
    case ["spectra"]:
        BenchmarkRunner.Run<SpectraBench>();
        return 0;
    case ["reading"]:
        BenchmarkRunner.Run<ReadingBench>();
        return 0;
    case ["reading-quick", .. var rest]:
        return ReadingBench.Quick(rest, Console.Out);
    default:
        Console.Error.WriteLine("usage: benchmarks spectra | reading | reading-quick [ROWS]");
        return 2;
}
