using VibeCheck.Core.Flights;
using VibeCheck.Core.Flights.Accounting;
using VibeCheck.Reports.Formatting;

namespace VibeCheck.Reports.Text;

/// <summary>Text that lists what was checked, for use after the statement that nothing stands out.</summary>
internal static class CheckedText
{
    /// <summary>One or two sentences; the second names what could not be checked.</summary>
    internal static string Of(FlightAnalysis flight)
    {
        List<string> looked = [],
            not = [];
        Add(flight.Motors.Any(m => m.Orders.Any(o => o.RmsMps2.IsKnown || o.GroupMps2?.IsKnown == true)), "the orders of each motor");
        if (flight.VibrationIsOfGroup && flight.VibrationMps2.IsKnown)
        {
            looked.Add("the orders of all rotors together");
        }

        bool lines = flight.Accounting?.Part(VibrationPartKind.HalfOrders).Mps2.IsKnown == true;
        bool broadband = flight.Accounting?.Part(VibrationPartKind.Broadband).Mps2.IsKnown == true;
        if (lines == broadband)
        {
            Add(lines, "half orders, other lines and broadband vibration");
        }
        else
        {
            Add(lines, "half orders and other lines");
            Add(broadband, "broadband vibration");
        }

        Add(flight.Accounting?.Part(VibrationPartKind.Knocks).Mps2.IsKnown == true, "knocks");
        Add(flight.YawTrim.Split.IsKnown, "yaw trim");
        Add(flight.Motors.Any(m => m.MotorTemp.RiseSteadyC.IsKnown || m.EscTemp.RiseSteadyC.IsKnown), "temperatures");
        looked.Add("the log itself");
        string all = $"Checked: {Grammar.List(looked)}.";
        return not.Count == 0 ? all : $"{all} Not known, so not checked: {Grammar.List(not)}.";

        void Add(bool known, string what) => (known ? looked : not).Add(what);
    }
}
