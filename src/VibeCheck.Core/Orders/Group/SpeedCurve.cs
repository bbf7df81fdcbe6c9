namespace VibeCheck.Core.Orders.Group;

/// <summary>How well each rotor frequency explains a flight's vibration as a comb of orders, on a grid of equal ratios.</summary>
internal sealed class SpeedCurve
{
    /// <summary>Rotors of multirotors turn at some 750 to 27 000 rpm.</summary>
    internal const double LowestHz = 12.5,
        HighestHz = 450;

    /// <summary>Ratio of neighbouring frequencies, natural logarithm.</summary>
    internal const double StepLog = 0.004;

    // Motors of one aircraft turn up to some 5 % faster or slower than their mean.
    private const double GroupHalf = 0.05;

    // A mean level over the noise from which on a line counts as seen, and the most that one order can say: several must speak.
    private const double SeenLevel = 0.6;
    private const double MostLevel = 3;
    private const double UnseenCost = 1;
    private const double KeyWeight = 1.5;
    private const double ShareWeight = 4;

    private readonly ShortSpectra _spectra;
    private readonly double[] _highest;
    private readonly double[] _excess;
    private readonly double _top;

    internal SpeedCurve(ShortSpectra spectra, IReadOnlyCollection<int> blades)
    {
        _spectra = spectra;
        _top = Math.Log(spectra.TopHz);
        _highest = Highest(spectra);
        _excess = Excess(spectra);
        Orders = Math.Max(4, blades.Max() + 1);
        Blades = blades;
        Score = new double[Count];
        Share = new double[Count];
        for (int i = 0; i < Count; i++)
        {
            Share[i] = ExplainedShare(HzOf(i));
            Score[i] = Comb(HzOf(i)) + ShareWeight * Share[i];
        }
    }

    /// <summary>Frequencies on the grid.</summary>
    internal static int Count { get; } = (int)(Math.Log(HighestHz / LowestHz) / StepLog) + 1;

    internal IReadOnlyCollection<int> Blades { get; }

    /// <summary>Highest order that is looked at.</summary>
    internal int Orders { get; }

    /// <summary>Score of each frequency of the grid.</summary>
    internal double[] Score { get; }

    /// <summary>Share of the power above the floor that lies at the orders of each frequency, less
    /// what it would be by the width of their bands.</summary>
    internal double[] Share { get; }

    internal static double HzOf(int index) => LowestHz * Math.Exp(index * StepLog);

    internal static int IndexOf(double hz) => Math.Clamp((int)Math.Round(Math.Log(hz / LowestHz) / StepLog), 0, Count - 1);

    /// <summary>Highest mean level within the reach of a group at a multiple of a frequency; 0 above the log's band.</summary>
    internal double SeenAt(double hz)
    {
        int i = (int)Math.Round((Math.Log(hz) - LogLow) / StepLog);
        return i < 0 || i >= _highest.Length ? 0 : _highest[i];
    }

    /// <summary>Whether an order of a frequency is seen.</summary>
    internal bool Sees(double hz) => SeenAt(hz) >= SeenLevel;

    private static double LogLow { get; } = Math.Log(6);

    private double Comb(double hz)
    {
        double sum = 0;
        for (int order = 1; order <= Orders && Math.Log(order * hz) < _top - GroupHalf; order++)
        {
            double seen = SeenAt(order * hz),
                weight = order == 1 || Blades.Contains(order) ? KeyWeight : 1;
            sum += weight * (seen < SeenLevel ? -UnseenCost : Math.Min(MostLevel, seen));
        }

        return sum;
    }

    private double ExplainedShare(double hz)
    {
        double all = _excess[^1];
        if (all <= 0)
        {
            return 0;
        }

        double inside = 0,
            width = 0;
        for (int order = 1; order <= 2 * Orders && order * hz * (1 - GroupHalf) < _spectra.TopHz; order++)
        {
            double half = Math.Min(GroupHalf * order * hz + 1.5 * _spectra.ResolutionHz, hz / 2);
            inside += ExcessUpTo(order * hz + half) - ExcessUpTo(order * hz - half);
            width += 2 * half;
        }

        return inside / all - Math.Min(1, width / _spectra.TopHz);
    }

    private double ExcessUpTo(double hz)
    {
        double bin = Math.Clamp(hz / _spectra.ResolutionHz, 0, _excess.Length - 1);
        int k = Math.Min((int)bin, _excess.Length - 2);
        return _excess[k] + (bin - k) * (_excess[k + 1] - _excess[k]);
    }

    /// <summary>Running sum over the bins of what stands above twice the floor.</summary>
    private static double[] Excess(ShortSpectra spectra)
    {
        double[] floor = SpectralFloor.Of(spectra.MeanDensity, spectra.ResolutionHz),
            sum = new double[spectra.Bins];
        int first = (int)(LowestHz * 0.9 / spectra.ResolutionHz);
        for (int k = 1; k < sum.Length; k++)
        {
            sum[k] = sum[k - 1] + (k < first ? 0 : Math.Max(0, spectra.MeanDensity[k] - 2 * floor[k]));
        }

        return sum;
    }

    /// <summary>Mean level on a grid of equal ratios from 6 Hz on, then the highest within the reach of a group.</summary>
    private static double[] Highest(ShortSpectra spectra)
    {
        int count = (int)((Math.Log(spectra.TopHz) - LogLow) / StepLog),
            half = (int)(GroupHalf / StepLog);
        double[] level = new double[Math.Max(1, count)],
            highest = new double[level.Length];
        for (int i = 0; i < level.Length; i++)
        {
            double bin = Math.Exp(LogLow + i * StepLog) / spectra.ResolutionHz;
            int k = Math.Min((int)bin, spectra.Bins - 2);
            level[i] = spectra.MeanLevel[k] + (bin - k) * (spectra.MeanLevel[k + 1] - spectra.MeanLevel[k]);
        }

        for (int i = 0; i < level.Length; i++)
        {
            int from = Math.Max(0, i - half),
                to = Math.Min(level.Length, i + half + 1);
            highest[i] = from < to ? level.AsSpan(from, to - from).ToArray().Max() : 0;
        }

        return highest;
    }
}
