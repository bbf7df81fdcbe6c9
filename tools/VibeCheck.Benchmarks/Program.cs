using BenchmarkDotNet.Running;
using VibeCheck.Benchmarks;

// benchmarks spectra    spectra of a long flight; run in Release
switch (args)
{
    case ["spectra"]:
        BenchmarkRunner.Run<SpectraBench>();
        return 0;
    default:
        Console.Error.WriteLine("usage: benchmarks spectra");
        return 2;
}
