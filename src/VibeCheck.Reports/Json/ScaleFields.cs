using VibeCheck.Core.Findings;
using VibeCheck.Core.Flights;
using VibeCheck.Core.Statistics;
using VibeCheck.Reports.Text;

namespace VibeCheck.Reports.Json;

/// <summary>A quantity of a flight on a scale; never a pass or a fail.</summary>
internal sealed class ScaleFields(ScaleReading reading)
{
    public ScaleQuantity Quantity => reading.Quantity;
    public double Value => reading.Value;
    public string Unit => ScaleText.Unit(reading.Quantity);
    public ScaleBasis Basis => reading.Basis;
    public double? Percentile => reading.Percentile;
    public int Flights => reading.Flights;
    public ScalePlace? Place => reading.Place;
    public string Why => ScaleText.Why(reading);
    public Interval Usual => reading.Usual;

    internal static IEnumerable<ScaleFields> Of(FlightAnalysis flight, IReadOnlyList<FlightAnalysis> earlier) =>
        FlightScale.Of(flight, earlier).Select(r => new ScaleFields(r));
}
