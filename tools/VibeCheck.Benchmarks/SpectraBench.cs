using BenchmarkDotNet.Attributes;
using MathNet.Numerics.IntegralTransforms;
using VibeCheck.Core.Signals;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Benchmarks;

/// <summary>Spectra of a long flight (six channels, 10 minutes at 1 kHz), and their Fourier transform compared with that of other
/// libraries.</summary>
/// <remarks>Runs in this process, as <see cref="ReadingBench"/>: BenchmarkDotNet would not find the project to build.</remarks>
[InProcess, WarmupCount(3), IterationCount(5), MemoryDiagnoser]
public class SpectraBench
{
    private const int Length = 4096;
    private readonly RealFft _fft = new(Length);
    private readonly double[] _samples = new double[Length];
    private readonly double[] _other = new double[Length + 2];
    private ImuTrack _imu = null!;
    private TimeInterval[] _hover = [];

    [GlobalSetup]
    public void Setup()
    {
        Random random = new(1);
        double[][] channels =
        [
            .. Enumerable.Range(0, 6).Select(_ => Array.ConvertAll(new double[600_000], _ => random.NextDouble() - 0.5)),
        ];
        _imu = new()
        {
            Blocks = [new(0, 600_000, 0, 0.001)],
            AccXMps2 = channels[0],
            AccYMps2 = channels[1],
            AccZMps2 = channels[2],
            RateXRadps = channels[3],
            RateYRadps = channels[4],
            RateZRadps = channels[5],
        };
        _hover = [new(10, 590)];
        Array.Copy(channels[0], _samples, Length);

        // The results are checked first: the transforms must agree before their times mean anything.
        _fft.Transform(_samples);
        System.Numerics.Complex[] second = FftSharp.FFT.ForwardReal(_samples);
        double worst = Enumerable
            .Range(0, _fft.Bins)
            .Max(k => Math.Abs(second[k].Real - _fft.Re[k]) + Math.Abs(second[k].Imaginary - _fft.Im[k]));
        if (worst > 1e-9)
        {
            throw new InvalidOperationException($"the transforms differ by {worst}");
        }
    }

    [Benchmark]
    public IReadOnlyList<Spectrum> SpectraOfTenMinutes() => Spectra.Of(_imu, _hover, new());

    [Benchmark]
    public Spectrogram SpectrogramOfTenMinutes() => Spectrogram.Of(_imu);

    [Benchmark(Baseline = true)]
    public void Transform() => _fft.Transform(_samples);

    [Benchmark]
    public System.Numerics.Complex[] TransformByFftSharp() => FftSharp.FFT.ForwardReal(_samples);

    [Benchmark]
    public void TransformByMathNet()
    {
        Array.Copy(_samples, _other, Length);
        Fourier.ForwardReal(_other, Length, FourierOptions.Matlab);
    }
}
