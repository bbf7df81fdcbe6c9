namespace VibeCheck.Core.Comparisons;

/// <summary>All changes between the flights before and after, from which the verdict, its reasons and the next steps follow.</summary>
/// <param name="Flights">The flights.</param>
/// <param name="Vibration">Changes of the rotors' vibration and of the broadband levels.</param>
/// <param name="Account">Changes of the total vibration and of its parts.</param>
/// <param name="Shares">Changes of the share of the load that each motor carries.</param>
/// <param name="Motors">Changes of the motors' temperatures.</param>
/// <param name="Escs">Changes of the ESCs' temperatures.</param>
/// <param name="Conditions">How similar the flights are.</param>
/// <param name="Options">Thresholds of a change.</param>
internal sealed record JobChanges(
    FlightSet Flights,
    VibrationChanges Vibration,
    AccountChanges Account,
    LoadShareChanges Shares,
    TemperatureChanges Motors,
    TemperatureChanges Escs,
    Conditions Conditions,
    ComparisonOptions Options
);
