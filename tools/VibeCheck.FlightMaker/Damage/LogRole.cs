namespace VibeCheck.FlightMaker.Damage;

/// <summary>What a column of a log holds.</summary>
public enum LogRole
{
    Time,
    AccX,
    AccY,
    AccZ,
    RateX,
    RateY,
    RateZ,
    Rpm,
    Command,
    Current,
    MotorTemp,
    EscTemp,
}
