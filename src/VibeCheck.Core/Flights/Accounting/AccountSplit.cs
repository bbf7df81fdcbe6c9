using VibeCheck.Core.Orders.Group;
using VibeCheck.Core.Statistics;

namespace VibeCheck.Core.Flights.Accounting;

/// <summary>One split in progress: every bin of every window is assigned to one part, and the power below a line to broadband.</summary>
internal sealed class AccountSplit
{
    // A line with a Hann window extends over two bins to each side.
    private const double LeakBins = 2;

    // Odd half orders up to this multiple: a loose part knocks at every second turn, which shows at the lowest orders.
    private static readonly double[] s_halves = [0.5, 1.5, 2.5];

    // A half order is this close to its multiple, within the error of telemetry.
    private const double HalfReach = 0.02;

    // How well the floor beside a line predicts the floor below it: standard uncertainty, as a share of the floor.
    private const double FloorU = 0.1;

    // Above these orders a rotor's band counts only where it exceeds the noise: the highest of a dozen bins with an exponential distribution
    // exceeds six times their mean in 3 of 100 cases (12 exp(-6)).
    private const int AlwaysOrders = 4;
    private const double LeastHeight = 6;

    private const byte Free = 0,
        Whole = 1,
        Half = 2,
        Locked = 3,
        Steady = 4;

    private readonly ShortSpectra _spectra;
    private readonly IReadOnlyList<RotorPath> _paths;
    private readonly Interval _band;
    private readonly double _df;
    private readonly byte[][] _owner;
    private readonly double[] _mean;
    private readonly double[] _floor;

    internal AccountSplit(ShortSpectra spectra, IReadOnlyList<RotorPath> paths, Interval band)
    {
        (_spectra, _paths, _band, _df) = (spectra, paths, band, spectra.ResolutionHz);
        _owner = [.. Enumerable.Range(0, spectra.Windows).Select(_ => new byte[spectra.Bins])];
        foreach (RotorPath path in paths)
        {
            for (int order = 1; order <= path.Orders; order++)
            {
                Claim(path, order, Whole);
            }
        }

        // Orders that do not stand out release their bins, because the bands of all orders of all rotors would hide other lines.
        (RotorPath Path, int Order)[] shown = Shown(LineFloor.Of(FreeMean()));
        foreach (byte[] row in _owner)
        {
            Array.Clear(row);
        }

        foreach ((RotorPath path, int order) in shown)
        {
            Claim(path, order, Whole);
        }

        _mean = FreeMean();
        _floor = LineFloor.Of(_mean);
    }

    /// <summary>The low orders, all orders of the rotors as a group, and other orders whose line exceeds the floor (median over the
    /// windows).</summary>
    private (RotorPath Path, int Order)[] Shown(double[] floor) =>
        [
            .. _paths.SelectMany(p =>
                Enumerable
                    .Range(1, p.Orders)
                    .Where(k => k <= AlwaysOrders || p.MotorId is null || ExceedsFloor(p, k, floor))
                    .Select(k => (p, k))
            ),
        ];

    /// <summary>The floor between the lines, (m/s²)²/Hz, one value for each bin.</summary>
    internal double[] Floor => _floor;

    private bool ExceedsFloor(RotorPath path, int order, double[] floor)
    {
        double[] heights = new double[_owner.Length];
        for (int w = 0; w < heights.Length; w++)
        {
            (int from, int to) = BinsOf(path, order, w);
            for (int k = from; k <= to; k++)
            {
                heights[w] = Math.Max(heights[w], _spectra.Density[w][k] / floor[k]);
            }
        }

        return Robust.Median(heights) > LeastHeight;
    }

    /// <summary>The parts.</summary>
    /// <param name="knocks">Short events.</param>
    /// <param name="knockPower">Their mean square, (m/s²)².</param>
    /// <param name="noise">Noise of the sensor and of rounding, which is not vibration.</param>
    internal VibrationAccount Result(KnockSummary knocks, double knockPower, NoisePower noise)
    {
        IReadOnlyList<FoundLine> lines = new LineSearch(_spectra, _paths, _owner, _floor, _band).Find();
        FoundLine[] steady = [.. lines.Where(l => l.Path is null && (l.IsUnambiguous || !_paths.Any(p => IsHalf(l.Hz / p.MeanHz))))];
        FoundLine[] locked = [.. lines.Where(l => l.Path is not null && !IsHalf(l.Multiple))];
        foreach (FoundLine line in steady)
        {
            ClaimSteady((int)Math.Round(line.Hz / _df), line.IsCovered);
        }

        // A line that follows one rotor may be at a half order of another.
        foreach (FoundLine line in locked)
        {
            Claim(line.Path!, line.Multiple, Locked);
        }

        foreach (RotorPath path in _paths)
        {
            foreach (double multiple in s_halves)
            {
                Claim(path, multiple, Half);
            }
        }

        double noisePower = noise.Subtracted,
            noiseU = noise.Uncertainty;
        double[] total = [.. _spectra.Density.Select(row => Power(row, _df, _band) - noisePower)];
        (double[] Net, double FloorU) rotors = NetOf(Whole),
            halves = NetOf(Half),
            lockedNet = NetOf(Locked),
            steadyNet = NetOf(Steady);
        double mean = total.Average();
        double[] broadband = new double[total.Length];
        for (int w = 0; w < total.Length; w++)
        {
            broadband[w] = total[w] - rotors.Net[w] - halves.Net[w] - lockedNet.Net[w] - steadyNet.Net[w] - knockPower;
        }

        (VibrationPartKind Kind, double[] Net, double FloorU)[] parts =
        [
            (VibrationPartKind.RotorOrders, rotors.Net, rotors.FloorU),
            (VibrationPartKind.HalfOrders, halves.Net, halves.FloorU),
            (VibrationPartKind.RotorLocked, lockedNet.Net, lockedNet.FloorU),
            (VibrationPartKind.SteadyLines, steadyNet.Net, steadyNet.FloorU),
            (
                VibrationPartKind.Broadband,
                broadband,
                Math.Sqrt(rotors.FloorU * rotors.FloorU + halves.FloorU * halves.FloorU + noiseU * noiseU)
            ),
        ];
        return new()
        {
            TotalMps2 = GroupLevels.Size(total, noiseU),
            SensorNoiseMps2 = VibrationAccounting.NoiseMps2(noise.AtRest),
            RoundingNoiseMps2 = Math.Sqrt(noise.Rounding),
            BandHz = _band,
            Parts = [.. Shared(parts, mean - knockPower, mean).Select(WithLimit), KnockPart(knocks, knockPower, mean)],
            HalfOrders = HalvesOf(lines),
            LockedLines =
            [
                .. locked
                    .Select(l =>
                        Line(l.Path!, l.Multiple, Locked) is { } line ? line with { MotorId = l.IsUnambiguous ? line.MotorId : null } : null
                    )
                    .OfType<LockedLine>()
                    .OrderByDescending(l => l.Mps2.Value),
            ],
            SteadyLines = [.. steady.Select(SteadyOf).OrderByDescending(l => l.Mps2.Value)],
            Knocks = knocks,
            WindowS = [.. _spectra.CentreS],
            MeanSquaresByWindow = parts.ToDictionary(p => p.Kind, p => p.Net),
        };
    }

    private static bool IsHalf(double multiple) => s_halves.Any(h => Math.Abs(multiple - h) < HalfReach);

    /// <summary>Half orders that are clearly detected, one for each multiple: of the motor that the line found there follows, where it is
    /// known.</summary>
    private IReadOnlyList<LockedLine> HalvesOf(IReadOnlyList<FoundLine> lines)
    {
        List<LockedLine> halves = [];
        foreach (double multiple in s_halves)
        {
            RotorPath? told = lines
                .FirstOrDefault(l => l is { Path: not null, IsUnambiguous: true } && Math.Abs(l.Multiple - multiple) < HalfReach)
                ?.Path;
            LockedLine? best = _paths.Select(p => Line(p, multiple, Half)).OfType<LockedLine>().MaxBy(l => l.Prominence);
            best =
                told is not null && Line(told, multiple, Half) is { } own ? own
                : best is null ? null
                : best with { MotorId = null };
            if (best is not null)
            {
                halves.Add(best);
            }
        }

        return [.. halves.OrderByDescending(l => l.Prominence)];
    }

    /// <summary>Negative parts (noise after subtraction of a floor) count as zero; the difference is subtracted from the other parts in
    /// proportion.</summary>
    private static IEnumerable<VibrationPart> Shared(
        (VibrationPartKind Kind, double[] Net, double FloorU)[] parts,
        double lines,
        double all
    )
    {
        double positive = parts.Sum(p => Math.Max(0, p.Net.Average())),
            scale = positive > 0 ? lines / positive : 0;
        return parts.Select(p => new VibrationPart(
            p.Kind,
            GroupLevels.Size(Array.ConvertAll(p.Net, n => n * scale), p.FloorU),
            Math.Max(0, p.Net.Average()) * scale / all
        ));
    }

    /// <summary>For a part without a line, the upper end of its interval is the size of a line that would not be found.</summary>
    private VibrationPart WithLimit(VibrationPart part) =>
        part is { Kind: VibrationPartKind.RotorLocked or VibrationPartKind.SteadyLines, Mps2: { Value: 0, Ci95.High: 0 } }
            ? part with
            {
                Mps2 = Estimate.Of(0, new(0, DetectionLimit.LineMps2(_floor, _df, _band, _owner.Length, LineSearch.Clear))),
            }
            : part;

    internal static VibrationPart KnockPart(KnockSummary knocks, double power, double all)
    {
        if (knocks.Count == 0)
        {
            return new(VibrationPartKind.Knocks, Estimate.Of(0, new(0, Math.Sqrt(knocks.LimitMeanSquare))), 0);
        }

        // Events are random: their number has a standard deviation equal to its root (Poisson).
        double size = Math.Sqrt(power),
            half = 1.96 / Math.Sqrt(knocks.Count);
        return new(
            VibrationPartKind.Knocks,
            Estimate.Of(size, new(size * Math.Sqrt(Math.Max(0, 1 - half)), size * Math.Sqrt(1 + half))),
            all > 0 ? power / all : 0
        );
    }

    /// <summary>Power in a band of a row of densities; bins at its edges count by their share.</summary>
    internal static double Power(float[] row, double df, Interval band)
    {
        double from = band.Low / df + 0.5,
            to = band.High / df + 0.5,
            sum = 0;
        for (int k = (int)from; k <= Math.Min((int)to, row.Length - 1); k++)
        {
            sum += Math.Max(0, Math.Min(to, k + 1) - Math.Max(from, k)) * row[k];
        }

        return sum * df;
    }

    private (int From, int To) BinsOf(RotorPath path, double multiple, int window)
    {
        double hz = multiple * path.Hz[window],
            half = multiple * path.HalfHz[window] + LeakBins * _df;
        // The band of a group is wide. It never extends beyond a quarter of the rotor frequency, half way to the next half order.
        half = Math.Min(half, Math.Max(0.25 * path.Hz[window], LeakBins * _df));
        return Within((int)Math.Ceiling((hz - half) / _df), (int)Math.Floor((hz + half) / _df));
    }

    private (int From, int To) Within(int from, int to) =>
        (Math.Max(from, (int)Math.Ceiling(_band.Low / _df)), Math.Min(Math.Min(to, _spectra.Bins - 1), (int)Math.Floor(_band.High / _df)));

    private void Claim(RotorPath path, double multiple, byte owner)
    {
        for (int w = 0; w < _owner.Length; w++)
        {
            (int from, int to) = BinsOf(path, multiple, w);
            for (int k = from; k <= to; k++)
            {
                _owner[w][k] = _owner[w][k] == Free ? owner : _owner[w][k];
            }
        }
    }

    /// <summary>Assigns the free bins around a line, and those held by whole orders where the line is among them.</summary>
    private void ClaimSteady(int bin, bool isCovered)
    {
        (int from, int to) = Within(bin - (int)LeakBins, bin + (int)LeakBins);
        foreach (byte[] owner in _owner)
        {
            for (int k = from; k <= to; k++)
            {
                owner[k] = owner[k] == Free || (isCovered && owner[k] == Whole) ? Steady : owner[k];
            }
        }
    }

    /// <summary>Mean density of each bin over the windows without a whole order there; NaN where these are fewer than a tenth.</summary>
    private double[] FreeMean()
    {
        double[] mean = new double[_spectra.Bins];
        int[] count = new int[mean.Length];
        for (int w = 0; w < _owner.Length; w++)
        {
            for (int k = 0; k < mean.Length; k++)
            {
                if (_owner[w][k] == Free)
                {
                    mean[k] += _spectra.Density[w][k];
                    count[k]++;
                }
            }
        }

        int least = Math.Max(2, _owner.Length / 10);
        for (int k = 0; k < mean.Length; k++)
        {
            mean[k] = count[k] >= least ? mean[k] / count[k] : double.NaN;
        }

        return mean;
    }

    private (double[] Net, double FloorU) NetOf(byte owner)
    {
        double[] net = new double[_owner.Length];
        double floor = 0;
        for (int w = 0; w < net.Length; w++)
        {
            for (int k = 0; k < _floor.Length; k++)
            {
                if (_owner[w][k] == owner)
                {
                    net[w] += (_spectra.Density[w][k] - _floor[k]) * _df;
                    floor += _floor[k] * _df / net.Length;
                }
            }
        }

        return (net, FloorU * floor);
    }

    /// <summary>One line by itself; null where it is not clear of the floor.</summary>
    private LockedLine? Line(RotorPath path, double multiple, byte owner)
    {
        double[] net = new double[_owner.Length];
        double floor = 0;
        for (int w = 0; w < net.Length; w++)
        {
            (int from, int to) = BinsOf(path, multiple, w);
            for (int k = from; k <= to; k++)
            {
                if (_owner[w][k] == owner)
                {
                    net[w] += (_spectra.Density[w][k] - _floor[k]) * _df;
                    floor += _floor[k] * _df / net.Length;
                }
            }
        }

        // A line that began during the hover has the size that it had since then.
        net = net[(PowerStep.Up(net) ?? 0)..];
        double mean = net.Average();
        Estimate size = GroupLevels.Size(net, FloorU * floor);
        return floor > 0 && mean > 0 && size.Ci95 is { Low: > 0 } ? new(path.MotorId, multiple, size, mean / floor) : null;
    }

    /// <summary>A line measured in the windows in which nothing else overlaps it; an order that passes over a line among the orders adds to
    /// its power for some time.</summary>
    private SteadyLine SteadyOf(FoundLine line)
    {
        int bin = (int)Math.Round(line.Hz / _df);
        (int from, int to) = Within(bin - (int)LeakBins, bin + (int)LeakBins);
        List<(double Net, double Moment)> whole = [];
        for (int w = 0; w < _owner.Length; w++)
        {
            double net = 0,
                moment = 0;
            bool isWhole = true;
            for (int k = from; k <= to; k++)
            {
                double excess = (_spectra.Density[w][k] - _floor[k]) * _df;
                isWhole &= _owner[w][k] == Steady;
                net += excess;
                moment += k * _df * excess;
            }

            if (isWhole)
            {
                whole.Add((net, moment));
            }
        }

        whole.RemoveRange(0, PowerStep.Up([.. whole.Select(l => l.Net)]) ?? 0);
        double most = line.IsCovered ? 2 * Robust.Median(whole.Select(l => l.Net)) : double.PositiveInfinity;
        whole.RemoveAll(l => l.Net > most);
        double sum = whole.Sum(l => l.Net);
        return new(
            sum > 0 ? whole.Sum(l => l.Moment) / sum : bin * _df,
            whole.Count < 2 ? Estimate.Unknown(new LinePassedByOrders(line.Hz)) : GroupLevels.Size([.. whole.Select(l => l.Net)], 0)
        )
        {
            IsUnambiguous = line.IsUnambiguous,
        };
    }
}
