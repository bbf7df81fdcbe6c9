using VibeCheck.Core.Statistics;

namespace VibeCheck.Core.Orders.Group;

/// <summary>Power of the group at each order, window by window: that within the band about the order less the floor beneath it.</summary>
/// <remarks>The spectra are read on the axis of orders, f / f(t), so that a common change of
/// speed does not move the bands off their lines. The
/// floor is taken between the orders, to either side of the band, and joined by a straight line on the logarithms.</remarks>
internal sealed class GroupLevels
{
    // A Hann line reaches two bins to either side; half of that lies within the band's own margin.
    private const double LeakBins = 1.5;
    private const int LeastSideBins = 4;

    // How well a floor between the orders predicts that beneath them: standard uncertainty, share of the floor.
    private const double FloorU = 0.25;

    private readonly ShortSpectra _spectra;
    private readonly GroupSpeedPath _path;
    private readonly GroupBand _band;
    private readonly double _meanHz;
    private readonly double[] _mean;

    internal GroupLevels(ShortSpectra spectra, GroupSpeedPath path, GroupBand band)
    {
        (_spectra, _path, _band) = (spectra, path, band);
        _meanHz = path.MeanHz;
        _mean = MeanByOrder();
    }

    /// <summary>Highest order whose band the log shows.</summary>
    internal bool Shows(int order) => EdgesHz(order, _path.Hz.Max()).High < _spectra.TopHz;

    /// <summary>Power in each window, floor subtracted, and the standard uncertainty that the floor leaves in their mean.</summary>
    internal (double[] Net, double FloorU) Of(int order)
    {
        double floor = FloorAt(order);
        double[] net = new double[_spectra.Windows];
        double width = 0;
        for (int w = 0; w < net.Length; w++)
        {
            (double low, double high) = EdgesHz(order, _path.Hz[w]);
            net[w] = Power(_spectra.Density[w], low, high) - floor * (high - low);
            width += (high - low) / net.Length;
        }

        return (net, FloorU * floor * width);
    }

    /// <summary>An estimate of a size from powers in order of time.</summary>
    internal static Estimate Size(double[] net, double floorU)
    {
        DependentMean mean = DependentMean.Of(net);
        double power = Math.Max(0, mean.Mean),
            rms = Math.Sqrt(power);
        if (mean.Half95 is not double own)
        {
            return Estimate.WithoutInterval(rms, new HoverTooShortForInterval(IndependentValues.Windows));
        }

        double half = Math.Sqrt(own * own + Math.Pow(1.96 * floorU, 2));
        return Estimate.Of(rms, new(Math.Sqrt(Math.Max(0, mean.Mean - half)), Math.Max(rms, Math.Sqrt(Math.Max(0, mean.Mean + half)))));
    }

    private (double Low, double High) EdgesHz(int order, double hz)
    {
        double leak = LeakBins * _spectra.ResolutionHz;
        // Never beyond the midpoint between two orders.
        return (
            Math.Max(order * hz * (1 + _band.Low) - leak, (order - 0.5) * hz),
            Math.Min(order * hz * (1 + _band.High) + leak, (order + 0.5) * hz)
        );
    }

    private double Power(float[] density, double lowHz, double highHz)
    {
        double from = lowHz / _spectra.ResolutionHz + 0.5,
            to = highHz / _spectra.ResolutionHz + 0.5,
            sum = 0;
        int first = (int)from,
            last = Math.Min((int)to, density.Length - 1);
        for (int k = first; k <= last; k++)
        {
            double share = Math.Min(to, k + 1) - Math.Max(from, k);
            sum += Math.Max(0, share) * density[k];
        }

        return sum * _spectra.ResolutionHz;
    }

    /// <summary>Mean density on the axis of orders; a bin of it is a bin of the spectra at the mean speed.</summary>
    private double[] MeanByOrder()
    {
        double[] mean = new double[_spectra.Bins];
        for (int w = 0; w < _spectra.Windows; w++)
        {
            double ratio = _path.Hz[w] / _meanHz;
            float[] row = _spectra.Density[w];
            for (int i = 0; i < mean.Length; i++)
            {
                double bin = i * ratio;
                int k = Math.Min((int)bin, row.Length - 2);
                mean[i] += (row[k] + Math.Min(1, bin - k) * (row[k + 1] - row[k])) / _spectra.Windows;
            }
        }

        return mean;
    }

    private double FloorAt(int order)
    {
        (double low, double high) = EdgesHz(order, _meanHz);
        double reach = Math.Max(high - low, 8 * _spectra.ResolutionHz);
        double belowEdge = order == 1 ? _meanHz * 0.55 : EdgesHz(order - 1, _meanHz).High,
            aboveEdge = EdgesHz(order + 1, _meanHz).Low;
        (double Hz, double Density)? below = Side(Math.Max(belowEdge, low - reach), low),
            above = Side(high, Math.Min(aboveEdge, high + reach));
        double inside = Quantile(low, high, 0.1) ?? double.PositiveInfinity;
        double between = (below, above) switch
        {
            ({ } b, { } a) => Math.Exp(Math.Log(b.Density) + (order * _meanHz - b.Hz) / (a.Hz - b.Hz) * Math.Log(a.Density / b.Density)),
            ({ } b, null) => b.Density,
            (null, { } a) => a.Density,
            _ => double.PositiveInfinity,
        };
        double floor = Math.Min(between, inside);
        return double.IsFinite(floor) ? floor : 0;
    }

    private (double Hz, double Density)? Side(double fromHz, double toHz) =>
        toHz - fromHz < LeastSideBins * _spectra.ResolutionHz || Quantile(fromHz, toHz, 0.5) is not double density
            ? null
            : ((fromHz + toHz) / 2, Math.Max(density, 1e-20));

    private double? Quantile(double fromHz, double toHz, double share)
    {
        int from = (int)Math.Ceiling(fromHz / _spectra.ResolutionHz),
            to = Math.Min((int)(toHz / _spectra.ResolutionHz), _mean.Length - 1);
        return to - from < 2 ? null : Robust.Quantile(_mean[from..(to + 1)], share);
    }
}
