using Microsoft.Data.Analysis;
using VibeCheck.Core.Findings;
using VibeCheck.Core.Flights;
using VibeCheck.FlightMaker;

namespace VibeCheck.Core.Tests.Flights;

public class FlightTableTests
{
    [Fact]
    public void A_flight_has_a_row_a_motor_with_intervals_and_empty_cells_for_what_is_unknown()
    {
        JobTrial trial = JobTrial.Make(12, 0, 0);
        FlightRecipe recipe = trial.Before[0] with { HoverS = 30, ManoeuvresAtS = [], ImuGaps = [] };
        FlightAnalysis analysis = FlightCheck.Of(SimulatedFlight.Make(recipe).Flight, trial.Airframe);
        DataFrame table = FlightTable.Of(analysis);

        Assert.Equal(analysis.Motors.Select(m => m.Id), ((StringDataFrameColumn)table["motor"]).ToArray());
        for (int m = 0; m < analysis.Motors.Count; m++)
        {
            Assert.Equal(analysis.Motors[m].RpmMean.Value, ((DoubleDataFrameColumn)table["rpm"])[m]);
            Assert.Equal(analysis.Motors[m].Orders[0].RmsMps2.Ci95?.Low, ((DoubleDataFrameColumn)table["order1_mps2_low"])[m]);
            Assert.Equal(analysis.Motors[m].MotorTemp.RiseSteadyC.Value, ((DoubleDataFrameColumn)table["motor_rise_c"])[m]);
        }

        // Thirty seconds of readings are not enough for a steady rise.
        Assert.All(analysis.Motors, m => Assert.False(m.MotorTemp.RiseSteadyC.IsKnown));
        Assert.Equal(analysis.Motors.Count, table["motor_rise_c"].NullCount);
    }
}
