using ScottPlot;
using ScottPlot.TickGenerators;
using VibeCheck.Core.Flights;
using VibeCheck.Core.Signals;
using VibeCheck.Reports.Html;

namespace VibeCheck.Reports.Figures;

/// <summary>Spectral densities of one axis, before thin and after thick, with the motors' orders marked.</summary>
internal sealed class SpectrumChart
{
    private const float Left = 54,
        Right = 26,
        Bottom = 24,
        Top = 22;
    private const string Reference = "dB re 1 (m/s²)²/Hz";
    private const double FloorDb = -120;
    private const double PixelsPerLetter = 7.5,
        NotePixels = 120;

    /// <summary>Spectra before; empty for a single flight.</summary>
    internal required IReadOnlyList<Spectrum> Before { get; init; }

    /// <summary>Spectra after, or of the single flight.</summary>
    internal required IReadOnlyList<Spectrum> After { get; init; }

    /// <summary>Motors whose orders are marked; a motor may occur once per flight.</summary>
    internal required IReadOnlyList<MotorAnalysis> Motors { get; init; }

    /// <summary>Peaks to name at their lines, strongest first.</summary>
    internal IReadOnlyList<PeakLabel> Peaks { get; init; } = [];

    /// <summary>Right end, Hz; the same for all axes.</summary>
    internal required double ToHz { get; init; }

    /// <summary>Lower and upper end, dB; the same for all axes.</summary>
    internal required (double Low, double High) RangeDb { get; init; }

    /// <summary>Density in dB re 1 unit²/Hz, not below -120 dB, also for zero and negative densities.</summary>
    internal static double Db(double density) => density > 0 ? Math.Max(FloorDb, 10 * Math.Log10(density)) : FloorDb;

    /// <summary>Right end for a set of flights, Hz: 12 % above the highest order, at most the end of the widest spectrum.</summary>
    internal static double EndHz(IReadOnlyList<FlightAnalysis> flights)
    {
        var orders = flights.SelectMany(f => f.Motors).SelectMany(m => m.Orders.Select(o => o.Order * (m.RpmMean.Value ?? 0) / 60));
        double nyquist = flights.SelectMany(f => f.Spectra).Select(s => s.ResolutionHz * (s.Density.Length - 1)).DefaultIfEmpty(100).Max();
        double highest = orders.DefaultIfEmpty(0).Max() * 1.12;
        return highest > 0 ? Math.Min(nyquist, highest) : nyquist;
    }

    /// <summary>Range of the densities up to the right end, in tens of dB, at most 80 dB wide; the lowest 2 % may lie below it.</summary>
    internal static (double Low, double High) Range(IEnumerable<Spectrum> spectra, double toHz)
    {
        var all = new List<double>();
        foreach (Spectrum spectrum in spectra)
        {
            int to = Math.Min(spectrum.Density.Length - 1, (int)(toHz / spectrum.ResolutionHz));
            for (int k = FirstBin(spectrum); k <= to; k++)
            {
                all.Add(Db(spectrum.Density[k]));
            }
        }

        if (all.Count == 0)
        {
            return (-60, 0);
        }

        all.Sort();
        double low = Math.Floor((all[all.Count / 50] - 2) / 10) * 10,
            high = Math.Ceiling((all[^1] + 1) / 10) * 10;
        return (Math.Max(low, high - 80), high);
    }

    internal Markup Draw(int width, int height, string id, string label)
    {
        Plot plot = Chart.New(Left, Right, Bottom, Top);
        plot.Axes.SetLimits(0, ToHz, RangeDb.Low, RangeDb.High);
        double hzPerPixel = ToHz / (width - Left - Right);
        var names = new NumericManual();
        foreach (OrderMark mark in OrderMark.Of(Motors, ToHz, hzPerPixel))
        {
            double spare = Math.Max(0, 3 * hzPerPixel - (mark.ToHz - mark.FromHz)) / 2;
            var band = plot.Add.Rectangle(mark.FromHz - spare, mark.ToHz + spare, RangeDb.Low, RangeDb.High);
            band.FillColor = Chart.Grid.WithAlpha(.75);
            band.LineWidth = 0;
            names.AddMajor((mark.FromHz + mark.ToHz) / 2, Peaks.Count > 0 ? "" : mark.Name ?? "");
        }

        if (Peaks.Count > 0)
        {
            names.AddMajor(NotePixels / 2 * hzPerPixel, Reference);
        }
        else
        {
            Chart.Note(plot, Reference, 0, RangeDb.High, Alignment.UpperLeft);
        }

        Line(plot, Before, 1.1f, hzPerPixel);
        Line(plot, After, 1.8f, hzPerPixel);
        NamePeaks(plot, hzPerPixel);
        plot.Axes.Top.TickGenerator = names;
        plot.Axes.Top.Min = 0;
        plot.Axes.Top.Max = ToHz;
        plot.Axes.Bottom.TickGenerator = Chart.Ticks(0, ToHz, width / 80, "Hz");
        plot.Axes.Left.TickGenerator = Chart.Ticks(RangeDb.Low, RangeDb.High, 4, "dB");
        return Chart.ToMarkup(plot, width, height, id, label);
    }

    private void Line(Plot plot, IReadOnlyList<Spectrum> spectra, float thickness, double hzPerPixel)
    {
        foreach (Spectrum spectrum in spectra)
        {
            var line = plot.Add.ScatterLine(Reduced(spectrum, ToHz, hzPerPixel));
            line.LineColor = Chart.Data.WithAlpha(thickness > 1.5f ? 1 : .75);
            line.LineWidth = thickness;
            if (Before.Count > 0 && ReferenceEquals(spectra, After))
            {
                // After is filled, as in all figures: the two differ by more than the thickness of a line.
                line.FillY = true;
                line.FillYValue = RangeDb.Low;
                line.FillYColor = Chart.Data.WithAlpha(.14);
            }
        }
    }

    /// <summary>Writes names above their peaks, the strongest first; a name that would overlap another is left out.</summary>
    private void NamePeaks(Plot plot, double hzPerPixel)
    {
        List<(double From, double To)> taken = [];
        foreach (PeakLabel peak in Peaks.Where(p => p.Hz < ToHz))
        {
            double half = PixelsPerLetter * peak.Name.Length / 2 * hzPerPixel;
            if (taken.Any(t => peak.Hz - half < t.To && peak.Hz + half > t.From) || peak.Hz + half > ToHz)
            {
                continue;
            }

            taken.Add((peak.Hz - half, peak.Hz + half));
            double db = Before
                .Concat(After)
                .Max(s => Db(s.Density[Math.Min(s.Density.Length - 1, (int)Math.Round(peak.Hz / s.ResolutionHz))]));
            ScottPlot.Plottables.Text text = Chart.Note(
                plot,
                peak.Name,
                peak.Hz,
                Math.Min(db, RangeDb.High - 0.09 * (RangeDb.High - RangeDb.Low)),
                Alignment.LowerCenter
            );
            text.OffsetX = 0;
            text.OffsetY = -3;
            text.LabelFontColor = Chart.Ink;
        }
    }

    // Bins below 2 Hz hold what is left of gravity.
    private static int FirstBin(Spectrum spectrum) =>
        Math.Min(spectrum.Density.Length - 1, Math.Max(1, (int)Math.Ceiling(2 / spectrum.ResolutionHz)));

    /// <summary>At most two points per pixel, the least and the greatest in their order, so that no peak and no dip is lost.</summary>
    internal static Coordinates[] Reduced(Spectrum spectrum, double toHz, double hzPerPixel)
    {
        var points = new List<Coordinates>();
        int end = Math.Min(spectrum.Density.Length, (int)(toHz / spectrum.ResolutionHz) + 1);
        for (int from = FirstBin(spectrum); from < end; )
        {
            double pixel = Math.Floor(from * spectrum.ResolutionHz / hzPerPixel);
            int least = from,
                greatest = from,
                at = from;
            for (; at < end && Math.Floor(at * spectrum.ResolutionHz / hzPerPixel) == pixel; at++)
            {
                least = spectrum.Density[at] < spectrum.Density[least] ? at : least;
                greatest = spectrum.Density[at] > spectrum.Density[greatest] ? at : greatest;
            }

            Add(Math.Min(least, greatest));
            if (least != greatest)
            {
                Add(Math.Max(least, greatest));
            }

            from = at;
        }

        return [.. points];

        void Add(int k) => points.Add(new Coordinates(k * spectrum.ResolutionHz, Db(spectrum.Density[k])));
    }
}
