namespace VibeCheck.FlightMaker;

/// <summary>Simulates the hover of an aircraft with the tilts of a simulated survey.</summary>
public static class SurveyedHover
{
    /// <summary>The split of a simulated hover with these tilts.</summary>
    public static double TrueSplit(this MadeSurvey survey, int seed) =>
        SimulatedFlight
            .Make(
                new FlightRecipe
                {
                    Airframe = survey.Airframe,
                    Seed = seed,
                    Rotors = [.. survey.Airframe.Motors.Select(_ => new RotorSource([new OrderSource(1, 0.3)]))],
                    TiltAcrossDeg = survey.TiltAcrossDeg,
                    HoverS = 20,
                    ImuRateHz = 100,
                }
            )
            .Truth.Split;
}
