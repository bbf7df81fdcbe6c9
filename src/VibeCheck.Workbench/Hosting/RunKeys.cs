using System.Xml.Linq;
using Microsoft.AspNetCore.DataProtection.Repositories;

namespace VibeCheck.Workbench.Hosting;

/// <summary>Keys of one run, kept in memory: nothing is left on the disk, and no cookie of an earlier run is taken.</summary>
internal sealed class RunKeys : IXmlRepository
{
    private readonly List<XElement> _keys = [];

    public IReadOnlyCollection<XElement> GetAllElements()
    {
        lock (_keys)
        {
            return [.. _keys];
        }
    }

    public void StoreElement(XElement element, string friendlyName)
    {
        lock (_keys)
        {
            _keys.Add(element);
        }
    }
}
