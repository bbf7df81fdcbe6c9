using MathNet.Numerics.Distributions;
using VibeCheck.Core.Signals;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Checks;

/// <summary>Spectral densities, lines and degrees of freedom against published figures and against scipy.</summary>
public sealed class SpectrumChecks
{
    // scipy.signal.welch 1.10.1 (numpy 1.24.2), window hann, blackman, boxcar or flattop, constant detrend, one-sided density, by
    // tools/reference-values/welch.py. Length, step, sum over all bins, then bins and their densities.
    public static TheoryData<string, int, int, double, int[], double[]> ScipyWelch =>
        new()
        {
            {
                "hann",
                512,
                256,
                0.313108078933851,
                [0, 1, 2, 64, 128, 255, 256],
                [
                    3.9465840721530244e-05,
                    0.00014680693173753834,
                    0.00013724159387032254,
                    0.06981865561957933,
                    0.010087732689894593,
                    0.000238946271218084,
                    0.0001648342534803794,
                ]
            },
            {
                "hann",
                1024,
                256,
                0.6233695072284244,
                [0, 1, 2, 128, 256, 511, 512],
                [
                    3.233120854322934e-05,
                    0.00016372212698637895,
                    0.00018481647629636108,
                    0.004001226017253346,
                    0.019745506140721885,
                    0.000286625997248899,
                    0.00013042955018071787,
                ]
            },
            {
                "blackman",
                256,
                128,
                0.1576869373312119,
                [0, 1, 2, 32, 64, 127, 128],
                [
                    3.0030605540135018e-05,
                    0.00011626420007891303,
                    0.00016617939004118516,
                    0.06324737633047724,
                    0.004432672064093713,
                    0.0002570424901900708,
                    0.00014293715180368523,
                ]
            },
            {
                "rectangular",
                256,
                256,
                0.15663287763310801,
                [1, 2, 32, 64, 127, 128],
                [
                    0.00016872072224036866,
                    0.0002024949297869394,
                    0.07044093899256501,
                    0.007651357389332785,
                    0.00017139895054319937,
                    0.0001388708490053622,
                ]
            },
            {
                "flat-top",
                512,
                256,
                0.31578552821277844,
                [0, 1, 2, 64, 128, 255, 256],
                [
                    7.584529847241556e-05,
                    0.00012941035575497715,
                    0.00011825550143322842,
                    0.06691145560613047,
                    0.004159165679038846,
                    0.00027741445697682235,
                    0.0001426958292922207,
                ]
            },
        };

    [Theory]
    [MemberData(nameof(ScipyWelch))]
    public void Density_agrees_with_scipy(string window, int length, int step, double sum, int[] bins, double[] densities)
    {
        double[] actual = Welch.Density(ScipySignal(), 1000, Window.All.Single(w => w.Name == window), length, step);
        Assert.Equal(length / 2 + 1, actual.Length);
        Assert.Equal(sum, actual.Sum(), 1e-9 * sum);
        for (int i = 0; i < bins.Length; i++)
        {
            Assert.Equal(densities[i], actual[bins[i]], 1e-9 * densities[i]);
        }
    }

    [Fact]
    public void Prominences_agree_with_scipy()
    {
        double[] levelDb = Array.ConvertAll(Welch.Density(ScipySignal(), 1000, Window.Hann, 512, 256), d => 10 * Math.Log10(d));

        // scipy.signal.find_peaks 1.10.1 with prominence=3.5 on the same levels, by tools/reference-values/welch.py.
        (int, double)[] expected =
        [
            (36, 3.7012427706753357),
            (63, 32.886077428939366),
            (79, 3.5097719544259434),
            (128, 20.18456936280846),
            (185, 5.387434876334709),
            (194, 3.593729684908425),
            (225, 4.145993055547208),
        ];
        IReadOnlyList<(int Bin, double Prominence)> found = Peaks.Prominent(levelDb, 3.5);
        Assert.Equal(expected.Length, found.Count);
        foreach (((int bin, double prominence), (int, double) peak) in expected.Zip(found))
        {
            Assert.Equal(bin, peak.Item1);
            Assert.Equal(prominence, peak.Item2, 1e-7);
        }
    }

    // Altair HyperWorks help 2021, function psd5: a tone on a bin under a Hann window spreads 1/6, 2/3, 1/6 of its power.
    [Fact]
    public void A_tone_on_a_bin_falls_on_three_bins()
    {
        double[] tone = [.. Enumerable.Range(0, 1024).Select(n => 10 * Math.Sin(2 * Math.PI * 64 * n / 1024.0))];
        double[] density = Welch.Density(tone, 1024, Window.Hann, 1024, 512);
        Assert.Equal(50.0 / 6, density[63], 1e-12 * 50);
        Assert.Equal(100.0 / 3, density[64], 1e-12 * 50);
        Assert.Equal(50.0 / 6, density[65], 1e-12 * 50);
        Assert.Equal(50, density.Sum(), 1e-12 * 50);
    }

    // G. Heinzel, A. Rüdiger, R. Schilling 2002, section 13: two tones and rounding noise. 1 000 000 samples at 10 kHz.
    [Fact]
    public void The_two_tone_example_comes_out_as_published()
    {
        const double RateHz = 10_000,
            Step = 0.001;
        double[] samples = new double[1_000_000];
        for (int i = 0; i < samples.Length; i++)
        {
            double t = i / RateHz;
            double value = 2.82842712474619 * Math.Sin(2 * Math.PI * 1234 * t) + Math.Sin(2 * Math.PI * 2500.2157 * t);
            samples[i] = Math.Floor(value / Step + 0.5) * Step;
        }

        // Section 13, flat-top HFT116D, 4096 points, half overlap: lines of 2 V and 0.7071 V rms; noise 4.08e-6 V/√Hz between them.
        Spectrum flat = SpectrumOf(samples, RateHz, Window.FlatTopHft116D);
        double[] rms = LineRms(flat);
        Assert.Equal(2.000, HighestNear(rms, flat, 1234), 0.002);
        Assert.Equal(0.7071, HighestNear(rms, flat, 2500.2157), 0.0007);
        Assert.Equal(4.08e-6, NoiseAmplitude(flat), 0.01 * 4.08e-6);

        // The same with Hann: maxima of the bins uncorrected (1.13 and 0.04 dB low, the transform of the window), then corrected.
        Spectrum hann = SpectrumOf(samples, RateHz, Window.Hann);
        double[] uncorrected = LineRms(hann);
        Assert.Equal(1.7558, HighestNear(uncorrected, hann, 1234), 1e-3);
        Assert.Equal(0.7036, HighestNear(uncorrected, hann, 2500.2157), 1e-3);
        Assert.Equal(4.08e-6, NoiseAmplitude(hann), 0.01 * 4.08e-6);

        // Section 13: the rms of the whole record is √4.5.
        Assert.Equal(2.12132, hann.Rms(), 1e-3);

        IReadOnlyList<Peak> peaks = Peaks.Find(hann, fromHz: 100, leastProminenceDb: 60);
        Assert.Equal(2, peaks.Count);
        Assert.Equal(1234, peaks[0].Hz, 1e-3);
        Assert.Equal(2.000, peaks[0].Rms, 1e-4);
        Assert.Equal(2500.2157, peaks[1].Hz, 1e-3);
        Assert.Equal(0.70711, peaks[1].Rms, 1e-4);

        // Section 13 and A.2: the density of the rounding noise is u/√(6 fs).
        Assert.Equal(Step / Math.Sqrt(6 * RateHz), NoiseAmplitude(hann), 0.01 * 4.08e-6);
    }

    // National Instruments help, "Aliasing": a line appears at its distance to the nearest multiple of the sample rate, here 100 Hz.
    [Theory]
    [InlineData(25, 25)]
    [InlineData(70, 30)]
    [InlineData(160, 40)]
    [InlineData(510, 10)]
    public void A_line_above_half_the_rate_is_seen_folded(double hz, double seenHz) => Assert.Equal(seenHz, Folding.SeenHz(hz, 100), 1e-12);

    // Welch 1967; formula from O. Solomon, Sandia SAND91-1533 (1991): correlations of Hann-windowed segments.
    [Fact]
    public void Correlation_of_overlapping_windows_is_as_published()
    {
        double[] hann = Window.Hann.Values(4096);
        Assert.Equal(1.0 / 36, Window.PowerCorrelation(hann, 2048), 1e-6);
        Assert.Equal(0.434485, Window.PowerCorrelation(hann, 1024), 1e-6);
        Assert.Equal(0.027778, Window.PowerCorrelation(hann, 2048), 1e-6);
        Assert.Equal(5.6e-5, Window.PowerCorrelation(hann, 3072), 5e-7);
    }

    // Welch 1967: his windows 1 - t² and 1 - |t| at half overlap, (11/32)² and 1/16.
    [Fact]
    public void Correlation_of_Welchs_own_windows_is_as_he_has_it()
    {
        const int Length = 4096;
        double[] t = [.. Enumerable.Range(0, Length).Select(n => (n + 0.5 - Length / 2) / (Length / 2.0))];
        Assert.Equal(11 * 11 / (32.0 * 32), Window.PowerCorrelation(Array.ConvertAll(t, v => 1 - v * v), Length / 2), 1e-4);
        Assert.Equal(1.0 / 16, Window.PowerCorrelation(Array.ConvertAll(t, v => 1 - Math.Abs(v)), Length / 2), 1e-4);
    }

    // D. Percival, A. Walden 1993, section 6.17: ν = 36 K²/(19 K - 1) for Hann at half overlap.
    [Theory]
    [InlineData(3, 5.7857)]
    [InlineData(7, 13.3636)]
    [InlineData(8, 15.2583)]
    [InlineData(15, 28.5211)]
    [InlineData(31, 58.8367)]
    [InlineData(100, 189.5735)]
    public void Degrees_of_freedom_at_half_overlap_follow_the_closed_form(int windows, double degrees) =>
        Assert.Equal(degrees, Welch.DegreesOfFreedom(Window.Hann.Values(4096), 2048, [windows]), 1e-4);

    // The same formula at three-quarter overlap, computed with numpy.
    [Theory]
    [InlineData(7, 7.8450)]
    [InlineData(31, 32.752)]
    [InlineData(100, 104.448)]
    public void Degrees_of_freedom_at_three_quarters_overlap_follow_the_formula(int windows, double degrees) =>
        Assert.Equal(degrees, Welch.DegreesOfFreedom(Window.Hann.Values(4096), 1024, [windows]), 5e-4);

    // Simulated with numpy: 4000 records of 15 half-overlapped Hann segments of 512 give 2 mean²/variance = 28.5 ± 0.6.
    [Fact]
    [Trait("Category", "Slow")]
    public void Noise_scatters_as_its_degrees_of_freedom_say()
    {
        Random random = new(20261125);
        Normal normal = new(0, 1, random);
        const int Length = 128,
            Records = 4000;
        double sum = 0,
            squares = 0;
        double[] samples = new double[8 * Length];
        for (int record = 0; record < Records; record++)
        {
            normal.Samples(samples);
            double density = Welch.Density(samples, 1, Window.Hann, Length, Length / 2)[Length / 4];
            sum += density;
            squares += density * density;
        }

        double mean = sum / Records,
            variance = squares / Records - mean * mean;

        // The ratio of 4000 records scatters by about 2.5 %.
        Assert.Equal(28.52, 2 * mean * mean / variance, 2.2);
    }

    // Any chi-square table; its use for spectra as in Welch 1967.
    [Theory]
    [InlineData(2, 0.2711, 39.498)]
    [InlineData(10, 0.4882, 3.0798)]
    [InlineData(20, 0.5853, 2.0853)]
    [InlineData(30, 0.6386, 1.7867)]
    [InlineData(100, 0.7718, 1.3473)]
    public void Interval_of_a_density_has_the_chi_square_factors(double degrees, double low, double high)
    {
        Spectrum spectrum = new()
        {
            Channel = "acc_x",
            Unit = "m/s²",
            ResolutionHz = 1,
            Density = [1, 1, 1],
            NoiseBandwidthBins = 1.5,
            DegreesOfFreedom = degrees,
        };
        Assert.Equal(low, spectrum.Ci95Factors.Low, 5e-5);
        Assert.Equal(high, spectrum.Ci95Factors.High, 5e-4);
    }

    // The same in dB for 15 half-overlapped Hann windows (ν = 28.521), computed with scipy from the chi-square distribution.
    [Fact]
    public void Interval_of_fifteen_windows_is_two_and_a_half_decibels_up()
    {
        Spectrum spectrum = new()
        {
            Channel = "acc_x",
            Unit = "m/s²",
            ResolutionHz = 1,
            Density = [1, 1, 1],
            NoiseBandwidthBins = 1.5,
            DegreesOfFreedom = 28.521,
        };
        Assert.Equal(-1.992, 10 * Math.Log10(spectrum.Ci95Factors.Low), 5e-4);
        Assert.Equal(2.595, 10 * Math.Log10(spectrum.Ci95Factors.High), 5e-4);
    }

    // NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.7.4: chi-square quantiles for 10 degrees of freedom.
    [Theory]
    [InlineData(0.025, 3.2470)]
    [InlineData(0.05, 3.9403)]
    [InlineData(0.95, 18.3070)]
    [InlineData(0.975, 20.4832)]
    public void Chi_square_quantiles_are_those_of_the_handbook(double share, double quantile) =>
        Assert.Equal(quantile, ChiSquared.InvCDF(10, share), 5e-5);

    // J. O. Smith, Spectral Audio Signal Processing (2011), eq. 7.28: K = floor((N - M)/R) + 1.
    [Theory]
    [InlineData(6000, 512, 256, 22)]
    [InlineData(512, 512, 256, 1)]
    [InlineData(511, 512, 256, 0)]
    public void Windows_in_a_record_are_counted_as_the_book_does(int samples, int length, int step, int windows) =>
        Assert.Equal(windows, Welch.WindowCount(samples, length, step));

    // J. O. Smith, as above, section 5: on a bin and midway between two bins the parabola has no position bias.
    [Theory]
    [InlineData(0)]
    [InlineData(0.5)]
    public void The_plain_parabola_is_unbiased_on_a_bin_and_midway(double off) =>
        Assert.Equal(
            off,
            LogParabola
                .Vertex(
                    Math.Log(Window.Hann.Response(off + 1)),
                    Math.Log(Window.Hann.Response(off)),
                    Math.Log(Window.Hann.Response(off - 1))
                )
                .Offset,
            1e-9
        );

    // J. O. Smith, Spectral Audio Signal Processing (2011), and Gasior and Gonzalez, CERN AB-Note-2004-021: bias of the parabola on log
    // magnitude for a line δ bins off under Hann: position and amplitude (true amplitude 1).
    [Theory]
    [InlineData(0.1, 0.10789, 1.00166)]
    [InlineData(0.25, 0.26554, 1.01018)]
    [InlineData(0.3, 0.31599, 1.01450)]
    [InlineData(0.4, 0.41214, 1.02512)]
    public void The_plain_parabola_has_its_published_bias_and_the_line_has_none(double off, double position, double amplitude)
    {
        double left = Window.Hann.Response(off + 1),
            middle = Window.Hann.Response(off),
            right = Window.Hann.Response(off - 1);
        (double offset, double height) = LogParabola.Vertex(Math.Log(left), Math.Log(middle), Math.Log(right));
        Assert.Equal(position, offset, 1e-5);
        Assert.Equal(amplitude, Math.Exp(height), 1e-5);

        (double lineOffset, double magnitude) = LogParabola.Line(left, middle, right, Window.Hann);
        Assert.Equal(off, lineOffset, 1e-9);
        Assert.Equal(1, magnitude, 1e-9);
    }

    // Gasior and Gonzalez, as above: largest position error for any δ, bins.
    [Theory]
    [InlineData("rectangular", 0.1672)]
    [InlineData("hann", 0.0160)]
    [InlineData("hamming", 0.0160)]
    [InlineData("blackman", 0.0066)]
    [InlineData("blackman-harris", 0.0032)]
    public void The_plain_parabola_is_wrong_by_no_more_than_published(string name, double bins) =>
        Assert.Equal(bins, PaddedError(Window.All.Single(w => w.Name == name), padding: 1), 6e-5);

    // Gasior and Gonzalez, as above, the parabola on the magnitudes themselves: largest position error for any δ, bins.
    [Theory]
    [InlineData("rectangular", 0.2340)]
    [InlineData("hann", 0.0528)]
    [InlineData("hamming", 0.0680)]
    [InlineData("blackman", 0.0438)]
    [InlineData("blackman-harris", 0.0340)]
    public void The_parabola_on_plain_magnitudes_is_wrong_by_no_more_than_published(string name, double bins) =>
        Assert.Equal(bins, PaddedError(Window.All.Single(w => w.Name == name), padding: 1, ordinate: m => m), 6e-5);

    // Gasior and Gonzalez, as above: largest height error of the log parabola, dB; digits computed with numpy.
    [Theory]
    [InlineData("rectangular", -2.73, 0)]
    [InlineData("hann", 0, 0.324)]
    [InlineData("hamming", 0, 0.395)]
    [InlineData("blackman", 0, 0.091)]
    [InlineData("blackman-harris", 0, 0.032)]
    public void The_plain_parabola_misses_a_height_by_no_more_than_published(string name, double lowestDb, double highestDb)
    {
        Window window = Window.All.Single(w => w.Name == name);
        double lowest = 0,
            highest = 0;
        for (int i = 0; i <= 500; i++)
        {
            double off = i / 1000.0;
            double height = LogParabola
                .Vertex(
                    Math.Log(window.Response(off + 1) + 1e-300),
                    Math.Log(window.Response(off)),
                    Math.Log(window.Response(off - 1) + 1e-300)
                )
                .Height;
            lowest = Math.Min(lowest, 20 / Math.Log(10) * height);
            highest = Math.Max(highest, 20 / Math.Log(10) * height);
        }

        Assert.Equal(lowestDb, lowest, lowestDb < -1 ? 5e-3 : 5e-4);
        Assert.Equal(highestDb, highest, 5e-4);
    }

    // J. O. Smith, as above, zero padding: position error of the log parabola under Hann, in bins of the unpadded transform.
    [Theory]
    [InlineData(2, 0.00163)]
    [InlineData(2.4, 0.00092)]
    [InlineData(4, 0.00019)]
    public void Zero_padding_brings_the_parabolas_error_down_as_published(double padding, double bins) =>
        Assert.Equal(bins, PaddedError(Window.Hann, padding), 6e-6);

    // J. O. Smith, as above, table 5.3: minimum zero padding, to a tenth, for an error below 1 % and 0.1 % of a bin of the unpadded
    // transform.
    [Theory]
    [InlineData("rectangular", 0.01, 2.1)]
    [InlineData("rectangular", 0.001, 4.1)]
    [InlineData("hann", 0.01, 1.2)]
    [InlineData("hann", 0.001, 2.4)]
    [InlineData("hamming", 0.01, 1.2)]
    [InlineData("hamming", 0.001, 2.4)]
    [InlineData("blackman", 0.01, 1.0)]
    [InlineData("blackman", 0.001, 1.8)]
    public void Least_zero_padding_for_an_error_is_that_of_the_table(string name, double bins, double padding)
    {
        Window window = Window.All.Single(w => w.Name == name);
        Assert.InRange(PaddedError(window, padding + 0.05), 0, bins);

        // A padding factor of 1 means no padding.
        if (padding > 1)
        {
            Assert.InRange(PaddedError(window, padding - 0.1), bins, 2 * bins);
        }
    }

    // T. Grandke, IEEE Trans. Instrum. Meas. 32 (1983) 350-355: under Hann the ratio of the larger neighbour to the peak is (1 + δ)/(2 -
    // δ).
    [Theory]
    [InlineData(0.1, 0.578947)]
    [InlineData(0.3, 0.764706)]
    [InlineData(0.5, 1)]
    public void Neighbours_of_a_line_have_Grandkes_ratio(double off, double ratio) =>
        Assert.Equal(ratio, Window.Hann.Response(off - 1) / Window.Hann.Response(off), 1e-6);

    // Grandke, as above: with α the ratio of the larger neighbour to the peak, a line lies δ = (2α - 1)/(α + 1) off, and is πδ(1 - δ²)/sin
    // πδ times as large as the peak. Here the peaks of a tone of 1 (rms √½) are measured from its samples.
    [Theory]
    [InlineData(0.1)]
    [InlineData(0.3)]
    [InlineData(0.45)]
    public void A_line_between_bins_is_read_as_Grandke_has_it(double off)
    {
        double[] tone = [.. Enumerable.Range(0, 4096).Select(n => Math.Sin(2 * Math.PI * (1000 + off) * n / 4096.0))];
        Spectrum spectrum = SpectrumOf(tone, 4096, Window.Hann);
        double[] rms = LineRms(spectrum);
        double ratio = rms[1001] / rms[1000],
            place = (2 * ratio - 1) / (ratio + 1);
        double size = rms[1000] * Math.PI * place * (1 - place * place) / Math.Sin(Math.PI * place);

        Peak peak = Peaks.Find(spectrum, leastProminenceDb: 60).MaxBy(p => p.Rms)!;
        Assert.True(peak.IsLine);
        Assert.Equal(1000 + off, peak.Hz, 1e-8);
        Assert.Equal(1000 + place, peak.Hz, 1e-8);
        Assert.Equal(Math.Sqrt(0.5), peak.Rms, 1e-8);
        Assert.Equal(size, peak.Rms, 1e-8);
    }

    // NIST/SEMATECH e-Handbook of Statistical Methods, 1.4.2.5, beam deflections (NIST StRD, Lew): the dominant line of the spectrum at
    // 0.30 cycles per sample. Least squares of one sinusoid over all 200 (scipy 1.10): 0.301807 and amplitude 343.289. The line's frequency
    // varies, and 2 × 128 half-overlapped samples are only part of the record, so the tolerance is a tenth of a bin and a tenth of the
    // amplitude.
    [Fact]
    public void The_line_of_the_beam_is_where_the_handbook_has_it()
    {
        double[] beam = Strd.Column("Lew.dat");
        Assert.Equal(200, beam.Length);
        double[] magnitude = Array.ConvertAll(Welch.Density(beam, 1, Window.Hann, 128, 64), Math.Sqrt);
        int bin = Array.IndexOf(magnitude, magnitude.Max());
        (double offset, double root) = LogParabola.Line(magnitude[bin - 1], magnitude[bin], magnitude[bin + 1], Window.Hann);
        Assert.Equal(0.30, (bin + offset) / 128, 5e-3);
        Assert.Equal(0.301807, (bin + offset) / 128, 0.1 / 128);
        Assert.Equal(343.289, root * Math.Sqrt(2 * Window.Hann.NoiseBandwidthBins / 128), 34.0);
    }

    // S. Rao, Mechanical Vibrations, eq. 1.67: the sum of tones with amplitude X at ω and ω + δ reaches 2X every 2π/δ. Here X = 1, 0.1 Hz
    // apart; the spectrogram's windows of one second reduce the maximum by 0.2 %, and the line lies 0.05 bin off (0.1 %).
    [Fact]
    public void The_spectrogram_shows_the_beat_of_two_tones()
    {
        const int Rate = 1024,
            Seconds = 41;
        ImuTrack imu = Track(Rate, Seconds, t => Math.Cos(2 * Math.PI * 100 * t) + Math.Cos(2 * Math.PI * 100.1 * t));
        Spectrogram spectrogram = Spectrogram.Of(imu);
        double[] size =
        [
            .. spectrogram.Density.Select(row => Math.Sqrt(2 * row[100] * Window.Hann.NoiseBandwidthBins * spectrogram.ResolutionHz)),
        ];
        double[] tops =
        [
            .. Enumerable
                .Range(1, size.Length - 2)
                .Where(i => size[i] > size[i - 1] && size[i] > size[i + 1])
                .Select(i => spectrogram.TimeS[i]),
        ];

        Assert.Equal([10, 20, 30, 40], tops);
        Assert.Equal(2, size.Max(), 0.01);
        Assert.Equal(0, size.Min(), 0.01);
    }

    [Fact]
    public void Two_transforms_agree()
    {
        foreach (int length in (int[])[4, 8, 64, 4096, 65536])
        {
            double[] samples = Noise(length, 7);
            RealFft fft = new(length);
            fft.Transform(samples);
            System.Numerics.Complex[] other = FftSharp.FFT.ForwardReal(samples);
            Assert.Equal(fft.Bins, other.Length);
            for (int k = 0; k < other.Length; k++)
            {
                // Rounding errors grow with the square root of the length; the bins are of order √length.
                Assert.Equal(other[k].Real, fft.Re[k], 1e-12 * length);
                Assert.Equal(other[k].Imaginary, fft.Im[k], 1e-12 * length);
            }
        }
    }

    // Parseval: the sum of the density is the mean square of the weighted samples over the window's mean square.
    [Fact]
    public void Power_is_kept_from_samples_to_density()
    {
        double[] samples = Noise(2048, 99);
        double mean = samples.Average();
        foreach (Window window in Window.All)
        {
            double[] values = window.Values(samples.Length);
            double expected = samples.Zip(values, (x, v) => (x - mean) * v).Sum(y => y * y) / values.Sum(v => v * v);
            double[] density = Welch.Density(samples, 500, window, samples.Length, samples.Length);
            Assert.Equal(expected, density.Sum() * 500 / samples.Length, 1e-12);
        }
    }

    /// <summary>Largest position error of the parabola, on the logarithms unless another ordinate is given, on the finer bins of a padded
    /// transform, in bins of the unpadded transform.</summary>
    private static double PaddedError(Window window, double padding, Func<double, double>? ordinate = null)
    {
        ordinate ??= Math.Log;
        double worst = 0;
        for (double part = 0.001; part < 0.5; part += 0.001)
        {
            double off = part / padding,
                step = 1 / padding;
            double seen = LogParabola
                .Vertex(ordinate(window.Response(off + step)), ordinate(window.Response(off)), ordinate(window.Response(off - step)))
                .Offset;
            worst = Math.Max(worst, Math.Abs(seen - part) / padding);
        }

        return worst;
    }

    private static ImuTrack Track(int rateHz, int seconds, Func<double, double> x) =>
        new()
        {
            Blocks = [new ContiguousSegment(0, rateHz * seconds, 0, 1.0 / rateHz)],
            AccXMps2 = [.. Enumerable.Range(0, rateHz * seconds).Select(i => x((double)i / rateHz))],
            AccYMps2 = new double[rateHz * seconds],
            AccZMps2 = new double[rateHz * seconds],
        };

    private static Spectrum SpectrumOf(double[] samples, double rateHz, Window window) =>
        new()
        {
            Channel = "acc_x",
            Unit = "V",
            ResolutionHz = rateHz / 4096,
            Density = Welch.Density(samples, rateHz, window, 4096, 2048),
            NoiseBandwidthBins = window.NoiseBandwidthBins,
            DegreesOfFreedom = 900,
            Window = window,
        };

    /// <summary>Heinzel, section 9: power spectrum = density times the noise bandwidth.</summary>
    private static double[] LineRms(Spectrum spectrum) =>
        Array.ConvertAll(spectrum.Density, d => Math.Sqrt(d * spectrum.NoiseBandwidthBins * spectrum.ResolutionHz));

    private static double HighestNear(double[] rms, Spectrum spectrum, double hz)
    {
        int bin = (int)Math.Round(hz / spectrum.ResolutionHz);
        return rms[(bin - 2)..(bin + 3)].Max();
    }

    private static double NoiseAmplitude(Spectrum spectrum)
    {
        int first = (int)(3200 / spectrum.ResolutionHz),
            last = (int)(4800 / spectrum.ResolutionHz);
        return Math.Sqrt(spectrum.Density[first..last].Average());
    }

    /// <summary>The test signal of tools/reference-values/welch.py.</summary>
    private static double[] ScipySignal()
    {
        double[] noise = Noise(6000, 12345);
        for (int n = 0; n < noise.Length; n++)
        {
            double t = n / 1000.0;
            noise[n] += 9.81 + Math.Sin(2 * Math.PI * 123.4 * t) + 0.25 * Math.Sin(2 * Math.PI * 250.0 * t);
        }

        return noise;
    }

    private static double[] Noise(int count, uint seed)
    {
        double[] noise = new double[count];
        for (int n = 0; n < count; n++)
        {
            seed = unchecked(1664525 * seed + 1013904223);
            noise[n] = seed / 4294967296.0 - 0.5;
        }

        return noise;
    }
}
