using System.Globalization;
using System.Text;
using System.Text.Json;
using VibeCheck.Core.Airframes;

namespace VibeCheck.FlightMaker;

/// <summary>Files that the recorder of a sample flight writes.</summary>
public enum SampleFiles
{
    /// <summary>IMU and ESC telemetry in two plain files.</summary>
    ImuAndEsc,

    /// <summary>One wide, packed file with speeds and temperatures.</summary>
    Wide,

    /// <summary>One wide, packed file with the motor commands and no ESC telemetry.</summary>
    Commands,
}

/// <summary>An invented job: files as a user would store them, and truth.json beside them.</summary>
/// <param name="Folder">Name of the folder.</param>
/// <param name="Title">Title of the job.</param>
/// <param name="Before">Flight before.</param>
/// <param name="After">Flight after.</param>
/// <param name="SurveyCsv">Text of survey.csv, or null.</param>
/// <param name="Files">The files of a flight.</param>
public sealed record SampleJob(string Folder, string Title, FlightRecipe Before, FlightRecipe After, string? SurveyCsv, SampleFiles Files)
{
    private static readonly JsonSerializerOptions Indented = new()
    {
        WriteIndented = true,
        PropertyNamingPolicy = JsonNamingPolicy.SnakeCaseLower,
    };

    /// <summary>Writes the job into a folder of its own below <paramref name="directory"/>.</summary>
    public void Write(string directory)
    {
        string folder = Path.Combine(directory, Folder);
        Directory.CreateDirectory(folder);
        File.WriteAllText(Path.Combine(folder, "airframe.toml"), AirframeToml(Before.Airframe));
        if (SurveyCsv is not null)
        {
            File.WriteAllText(Path.Combine(folder, "survey.csv"), SurveyCsv);
        }

        SimulatedFlight before = SimulatedFlight.Make(Before),
            after = SimulatedFlight.Make(After);
        string beforeFiles = WriteFlight(before, folder, "before-1"),
            afterFiles = WriteFlight(after, folder, "after-1");
        File.WriteAllText(Path.Combine(folder, "job.toml"), JobToml(beforeFiles, afterFiles));
        File.WriteAllText(
            Path.Combine(folder, "truth.json"),
            JsonSerializer.Serialize(new { before = TruthOf(before), after = TruthOf(after) }, Indented) + "\n"
        );
    }

    private string WriteFlight(SimulatedFlight flight, string folder, string name)
    {
        string ambient = string.Create(CultureInfo.InvariantCulture, $"ambient_c = {flight.Recipe.AmbientC:0.0}\n");
        if (Files != SampleFiles.ImuAndEsc)
        {
            string path = Path.Combine(folder, name, "flight.csv.gz");
            if (Files == SampleFiles.Wide)
            {
                FlightCsv.WriteWide(flight, path);
            }
            else
            {
                FlightCsv.WriteCommands(flight, path);
            }

            return $"imu = \"{name}/flight.csv.gz\"\n{ambient}";
        }

        FlightCsv.WriteImu(flight, Path.Combine(folder, name, "imu.csv"), 20e-6);
        FlightCsv.WriteEsc(flight, Path.Combine(folder, name, "esc.csv"));
        return $"imu = \"{name}/imu.csv\"\nesc = \"{name}/esc.csv\"\n{ambient}";
    }

    private string JobToml(string beforeFiles, string afterFiles)
    {
        string survey = SurveyCsv is null ? "" : "survey = \"survey.csv\"\n";
        return $"title = \"{Title}\"\nairframe = \"airframe.toml\"\n{survey}\n[[before]]\n{beforeFiles}\n[[after]]\n{afterFiles}";
    }

    /// <summary>Writes the text of airframe.toml.</summary>
    public static string AirframeToml(Airframe airframe)
    {
        ArgumentNullException.ThrowIfNull(airframe);
        var text = new StringBuilder();
        text.Append(
            CultureInfo.InvariantCulture,
            $"name = \"{airframe.Name}\"\nmass_kg = {airframe.MassKg}\ntorque_per_thrust_m = {airframe.TorquePerThrustM}\n\n"
        );
        text.Append(
            "[bolts]                          # distance between bolt centres, across and along the arm\nacross_mm = 28.6\nalong_mm = "
                + "28.6\n\n"
        );
        text.Append("[shim_kit]\nthickness_mm = [0.1, 0.2, 0.3]\nmax_stack = 2\n");
        foreach (Motor m in airframe.Motors)
        {
            string spin = m.Spin == Spin.Clockwise ? "cw" : "ccw",
                level = m.Level.ToString().ToLowerInvariant();
            text.Append(
                CultureInfo.InvariantCulture,
                $"\n[[motor]]\nid = \"{m.Id}\"\nazimuth_deg = {m.AzimuthDeg:0.0}\narm_m = {m.ArmM}\n"
            );
            text.Append(
                CultureInfo.InvariantCulture,
                $"spin = \"{spin}\"\nlevel = \"{level}\"\nblades = {m.Blades}\npole_pairs = {m.PolePairs}\n"
            );
        }

        return text.ToString();
    }

    private static object TruthOf(SimulatedFlight flight) =>
        new
        {
            made_hover_s = new[] { flight.Truth.Hover.FromS, flight.Truth.Hover.ToS },
            split = Math.Round(flight.Truth.Split, 5),
            rotor_vibration_mps2 = Math.Round(flight.Truth.RotorVibrationMps2(), 4),
            ambient_c = flight.Recipe.AmbientC,
            motors = flight.Truth.Motors.Select(
                (m, i) =>
                    new
                    {
                        id = m.Id,
                        tilt_across_deg = flight.Recipe.TiltAcrossDeg.Count > i ? flight.Recipe.TiltAcrossDeg[i] : 0,
                        rpm_mean = Math.Round(m.RpmMean, 1),
                        load_share = Math.Round(m.LoadShare, 4),
                        motor_rise_c = m.MotorRiseC,
                        esc_rise_c = m.EscRiseC,
                        orders = m.Orders.Select(o => new { order = o.Order, rms_mps2 = Math.Round(o.RmsMps2([flight.Truth.Hover]), 4) }),
                    }
            ),
        };
}
