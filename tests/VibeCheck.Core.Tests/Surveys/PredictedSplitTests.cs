using VibeCheck.Core.Airframes;
using VibeCheck.Core.Surveys;
using VibeCheck.FlightMaker;

namespace VibeCheck.Core.Tests.Surveys;

public sealed class PredictedSplitTests
{
    private static readonly Airframe _hexa = DemoAirframes.Ring(6, "hexa", 6.8, 0.42, 2);

    [Theory]
    [Trait("Category", "Slow")]
    [InlineData(0.1)]
    [InlineData(0.05)]
    public void The_split_predicted_from_simulated_surveys_agrees_with_that_of_the_simulated_hover(double stepDeg)
    {
        var random = new Random(7);
        var misses = new List<double>();
        for (int trial = 0; trial < 24; trial++)
        {
            MadeSurvey made = MadeSurvey.Make(_hexa, random, stepDeg, readings: 2);
            double truth = made.TrueSplit(seed: trial);
            misses.Add(Math.Abs(TiltYaw.PredictSplit(_hexa, TiltCombination.Of(_hexa, made.Readings).AsFound).Value!.Value - truth));
        }

        misses.Sort();
        Assert.True(misses[misses.Count / 2] < 0.02, $"median {misses[misses.Count / 2]}");
    }
}
